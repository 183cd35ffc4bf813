"""What is seen? The terminal app, one file a screen. Holds no state of the job."""
