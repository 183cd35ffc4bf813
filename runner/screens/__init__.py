"""What is seen? The terminal app, one file a screen. Holds no state of the job."""

import os

# The screen library reads these when it is loaded, and takes them from nowhere else.
os.environ.setdefault("TEXTUAL_FPS", "120")  # what has changed is painted within 8 ms, not 17
os.environ.setdefault("ESCDELAY", "12")  # ms; the bytes of one key come together, at 9600 baud 1 ms apart
