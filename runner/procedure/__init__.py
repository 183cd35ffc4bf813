"""What is to be done? The procedure, its reading, the plan computed for one batch."""
