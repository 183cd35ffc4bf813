"""What does the metal do? Physics and sourced tables; pure functions, no files, no clock."""
