"""What is seen? The terminal app, one file a screen. Holds no state of the job."""

import os

# The screen library reads these when it is loaded, and takes them from nowhere else.
os.environ.setdefault("TEXTUAL_FPS", "120")  # what has changed is painted within 8 ms, not 17
os.environ.setdefault("ESCDELAY", "1")  # ms; `keyboard` has waited, and hands whole sequences on
