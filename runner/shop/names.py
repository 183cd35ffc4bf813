"""What may a person be called in records?

Owns that one pattern, apart from the file of people: a journal is read without the validation library.
"""

from __future__ import annotations

import re

PERSON_ID = re.compile(r"[a-z][a-z0-9-]{1,31}")
"""Small letters, digits and hyphens, 2 to 32 of them, a letter first."""
