"""Where things lie below a shop's ``logs``, and what each signature is good for.

Owns the names of files and folders and the namespaces; imports nothing, so that whoever only reads a
record does not load what writes one.
"""

from __future__ import annotations

LOGS = "logs"
PRACTICE = "practice"
"""Folder of rehearsals below ``logs``."""

DELETED = ".deleted-"
"""What stands before the name of a batch whose files are just being taken away."""

JOURNAL = "journal.jsonl"
RECORD = "record.toml"
SIGNATURE = "record.toml.sig"
SHOP_JOURNAL = "shop.jsonl"

LINE_NAMESPACE = "journal-line@tankwalk"
RECORD_NAMESPACE = "batch-record@tankwalk"
ADDENDUM_NAMESPACE = "batch-addendum@tankwalk"
PRACTICE_LINE_NAMESPACE = "practice-line@tankwalk"
PRACTICE_RECORD_NAMESPACE = "practice-record@tankwalk"
