"""Proves a batch's folder without the program that wrote it. One file, to be read before it is believed.

    python auditor_check.py BATCH_FOLDER --signers ALLOWED_SIGNERS

It needs Python 3.11 and the library `cryptography`, and imports nothing else. ``--by-hand`` prints the same
checks as commands of a stock system (sh, sed, sha256sum, ssh-keygen), for those who trust no script of ours.
ALLOWED_SIGNERS is worth what it costs to forge: take one that was kept outside the records.

Checked:

- every line of journal.jsonl is compact JSON in its one form, with its keys in their one order
- lines count from 1, and each names the SHA-256 of the line before it (line 1: sixty-four zeros)
- every signature on a line stands, by a key that ALLOWED_SIGNERS gives to the person whom the line names
- in a batch that ended: no line stands after the last signed one, so somebody stands for each of them
- record.toml names this batch, and this journal by SHA-256, bytes and lines
- record.toml.sig is one signature and nothing else, over record.toml, by who signed the last line

NOT checked, since this file knows no plating and none of the program's rules (``tankwalk verify`` does):

- whether one event may follow another, which kinds must be signed, whether times run on
- whether the record says what the journal says
- whether the end of an open batch was cut off, or a whole batch taken away (the shop's journal tells)
- whether a person had the role or the key that day

Exit status: 0 all of it holds, 1 something does not, 2 the call or the list of signers is wrong.
"""

from __future__ import annotations

import argparse
import base64
import hashlib
import json
import re
import struct
import sys
import tomllib
from pathlib import Path
from typing import Any

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

KEYS = ["seq", "at", "boot", "up", "kind", "data", "who", "prev"]
PURPOSES = {
    "production": ("journal-line@tankwalk", "batch-record@tankwalk"),
    "practice": ("practice-line@tankwalk", "practice-record@tankwalk"),
}
ENDS = ("batch-released", "batch-abandoned")
Signers = list[tuple[str, bytes, list[str] | None]]

BY_HAND = r"""# Run with sh in the batch's folder; SIGNERS names the list of signers kept outside the records.
# Practice signs as practice-record@tankwalk and practice-line@tankwalk; the two lines below say which.
set -eu
RECORDS=${RECORDS:-batch-record@tankwalk}
LINES=${LINES:-journal-line@tankwalk}
T=$(mktemp -d)

# 1. Does the person who ended the batch stand for the record?
sed -n '/^\[ended\]/,/^\[\[/p' record.toml >"$T/ended"
WHO=$(sed -n 's/^id = "\([^"]*\)"$/\1/p' "$T/ended")
ssh-keygen -Y verify -f "$SIGNERS" -I "$WHO" -n "$RECORDS" -s record.toml.sig <record.toml

# 2. Does the record name this journal?
HASH=$(sha256sum <journal.jsonl | cut -d ' ' -f 1)
sed -n '/^\[journal\]/,/^\[opened\]/p' record.toml >"$T/named"
grep -x "sha256 = \"$HASH\"" "$T/named"
grep -x "bytes = $(wc -c <journal.jsonl | tr -d ' ')" "$T/named"
grep -x "lines = $(wc -l <journal.jsonl | tr -d ' ')" "$T/named"

# 3. Does every line follow from the one before it, and does its signature stand?
PREV=0000000000000000000000000000000000000000000000000000000000000000
N=0
while IFS= read -r LINE; do
    N=$((N + 1))
    printf '%s\n' "$LINE" >"$T/line"
    python3 -m json.tool "$T/line" >"$T/pretty"
    SEQ=$(sed 's/^{"seq":\([0-9]*\),.*/\1/' "$T/line")
    NAMED=$(sed 's/.*,"prev":"\([0-9a-f]*\)".*/\1/' "$T/line")
    [ "$SEQ $NAMED" = "$N $PREV" ] || { echo "line $N does not follow from the one before it"; exit 1; }
    PREV=$(sha256sum <"$T/line" | cut -d ' ' -f 1)
    SIG=$(sed -n 's/.*,"sig":"\([^"]*\)"}$/\1/p' "$T/line")
    if [ -z "$SIG" ]; then
        echo "line $N carries no signature; the next signed line covers it"
        continue
    fi
    BY=$(sed 's/.*,"who":"\([^"]*\)","prev":.*/\1/' "$T/line")
    sed 's/,"sig":"[^"]*"}$/}/' "$T/line" | tr -d '\n' >"$T/signed"
    printf -- '-----BEGIN SSH SIGNATURE-----\n%s\n-----END SSH SIGNATURE-----\n' "$SIG" >"$T/sig"
    ssh-keygen -Y verify -f "$SIGNERS" -I "$BY" -n "$LINES" -s "$T/sig" <"$T/signed" >"$T/said"
done <journal.jsonl
[ -n "$SIG" ] || { echo "the last line carries no signature"; exit 1; }
rm -r "$T"
echo "all of it holds"
"""


class Fault(Exception):
    """Something that does not hold, in words."""


def string(data: bytes) -> bytes:
    """RFC 4251, section 5: four bytes of length, then the bytes."""
    return struct.pack(">I", len(data)) + data


def key_blob(public: bytes) -> bytes:
    """An Ed25519 public key as OpenSSH keeps it."""
    return string(b"ssh-ed25519") + string(public)


def check_signature(blob: bytes, message: bytes, purpose: str) -> bytes:
    """The raw public key that signed a message, by OpenSSH's PROTOCOL.sshsig."""
    public, signature = blob[33:65], blob[-64:]
    fields = string(purpose.encode()) + string(b"") + string(b"sha512")
    signed = string(string(b"ssh-ed25519") + string(signature))
    if blob != b"SSHSIG" + struct.pack(">I", 1) + string(key_blob(public)) + fields + signed:
        raise Fault(f"the signature is not one of Ed25519 and SHA-512 for {purpose}")
    try:
        message_hash = string(hashlib.sha512(message).digest())
        Ed25519PublicKey.from_public_bytes(public).verify(signature, b"SSHSIG" + fields + message_hash)
    except InvalidSignature as error:
        raise Fault("the signature does not fit what it stands under") from error
    return public


def from_base64(text: str) -> bytes:
    """The bytes of a base64 text in its one spelling."""
    try:
        data = base64.b64decode(text, validate=True)
    except ValueError as error:
        raise Fault("the signature is not base64") from error
    if base64.b64encode(data).decode() != text:
        raise Fault("the signature is spelt in another way")
    return data


def read_signers(text: str) -> Signers:
    """Name, key and purposes (None: any) of every line; whatever cannot be weighed here is refused."""
    form = re.compile(r'([\w.@+-]+) +(?:namespaces="([^"*?!]+)" +)?ssh-ed25519 +([A-Za-z0-9+/=]+)(?: .*)?')
    signers: Signers = []
    for row in text.splitlines():
        if not row.strip() or row.startswith("#"):
            continue
        found = form.fullmatch(row)
        if not found:
            raise ValueError(f"this line of the list cannot be weighed here: {row[:100]!r}")
        blob = base64.b64decode(found[3], validate=True)
        if blob != key_blob(blob[-32:]):
            raise ValueError(f"this line of the list holds no Ed25519 key: {row[:100]!r}")
        signers.append((found[1], blob[-32:], found[2].split(",") if found[2] else None))
    return signers


def check_who(signers: Signers, who: object, public: bytes, purpose: str) -> None:
    """A key counts for whom the list gives it to, for the purpose asked."""
    for name, key, purposes in signers:
        if name == who and key == public and (purposes is None or purpose in purposes):
            return
    raise Fault(f"signed with a key that the list does not give to {who!r} for {purpose}")


def check_line(raw: bytes, number: int, prev: str, signers: Signers, purpose: str) -> dict[str, Any]:
    """One line of the journal; what it holds."""
    try:
        line = json.loads(raw)
        again = json.dumps(line, allow_nan=False, separators=(",", ":")).encode() + b"\n"
    except (ValueError, RecursionError) as error:
        raise Fault(f"no JSON: {error}") from error
    if again != raw or not isinstance(line, dict) or list(line) not in (KEYS, [*KEYS, "sig"]):
        raise Fault("not in the one form that a line has")
    if line["seq"] != number or line["prev"] != prev:
        raise Fault("it does not follow from the line before it")
    if "sig" in line:
        tail = f',"sig":{json.dumps(line["sig"])}}}\n'.encode()
        public = check_signature(from_base64(str(line["sig"])), raw[: -len(tail)] + b"}", purpose)
        check_who(signers, line["who"], public, purpose)
    return line


def check_journal(journal: bytes, signers: Signers, purpose: str) -> tuple[list[dict[str, Any]], list[str]]:
    """Every line of the journal that could be read, and what does not hold."""
    lines: list[dict[str, Any]] = []
    wrong: list[str] = []
    prev = "0" * 64
    for number, body in enumerate(journal.split(b"\n")[:-1], start=1):
        raw = body + b"\n"
        try:
            lines.append(check_line(raw, number, prev, signers, purpose))
        except Fault as fault:
            wrong.append(f"journal.jsonl line {number}: {fault}")
        prev = hashlib.sha256(raw).hexdigest()
    if not journal.endswith(b"\n"):
        wrong.append("journal.jsonl does not end in a whole line")
    return lines, wrong


def check_record(folder: Path, journal: bytes, last: dict[str, Any], signers: Signers, purpose: str) -> str:
    """Who stands for the record, where it names this journal."""
    if last.get("kind") not in ENDS:
        raise Fault("a record lies here, and the last line of the journal ends no batch")
    record, armoured = (folder / "record.toml").read_bytes(), (folder / "record.toml.sig").read_bytes()
    begin, end = b"-----BEGIN SSH SIGNATURE-----\n", b"-----END SSH SIGNATURE-----\n"
    blob = from_base64(armoured[len(begin) : -len(end)].replace(b"\n", b"").decode("ascii", "replace"))
    text = base64.b64encode(blob)
    rows = b"".join(text[at : at + 70] + b"\n" for at in range(0, len(text), 70))
    if armoured != begin + rows + end:
        raise Fault("record.toml.sig is not one signature and nothing else")
    check_who(signers, last["who"], check_signature(blob, record, purpose), purpose)
    told = tomllib.loads(record.decode())
    named = {
        "sha256": hashlib.sha256(journal).hexdigest(),
        "bytes": len(journal),
        "lines": journal.count(b"\n"),
    }
    if told.get("batch") != folder.name or {key: told["journal"].get(key) for key in named} != named:
        raise Fault("record.toml names another batch or another journal")
    if "sig" not in last:
        raise Fault("the last line of the journal is not signed, so nobody stands for it")
    return str(last["who"])


def mode_of(journal: bytes) -> str:
    """What line 1 says that the batch is; the purposes of its signatures go by that."""
    try:
        return (
            "practice" if json.loads(journal.split(b"\n")[0])["data"]["mode"] == "practice" else "production"
        )
    except (ValueError, LookupError, TypeError, RecursionError):
        return "production"


def main(args: list[str] | None = None) -> int:
    """Check one folder, and say what came of it."""
    say = argparse.ArgumentParser(description="Proves a batch's folder without the program that wrote it.")
    say.add_argument("folder", type=Path, nargs="?", metavar="BATCH_FOLDER")
    say.add_argument("--signers", type=Path, help="the list of signers kept outside the records")
    say.add_argument(
        "--by-hand", action="store_true", help="print the same checks as commands of a stock system"
    )
    asked = say.parse_args(args)
    if asked.by_hand:
        sys.stdout.write(BY_HAND)
        return 0
    if asked.folder is None or asked.signers is None:
        say.error("give a batch's folder and --signers")
    folder = asked.folder.resolve()
    try:
        signers = read_signers(asked.signers.read_text("ascii"))
        journal = (folder / "journal.jsonl").read_bytes()
    except (OSError, ValueError) as error:
        say.error(str(error))
    mode = mode_of(journal)
    lines, wrong = check_journal(journal, signers, PURPOSES[mode][0])
    ended = bool(lines) and lines[-1]["kind"] in ENDS
    said = f"{len(lines)} lines hold; open: no record yet, and a cut end would not show"
    if ended or any((folder / name).exists() for name in ("record.toml", "record.toml.sig")):
        try:
            who = check_record(
                folder, journal, lines[-1] if lines else {"who": ""}, signers, PURPOSES[mode][1]
            )
            said = f"{len(lines)} lines and the record hold; {who!r} stands for the record"
        except Fault as fault:
            wrong.append(str(fault))
        except (OSError, ValueError, LookupError, TypeError, AttributeError) as error:
            wrong.append(f"the record or its signature cannot be read: {error}")
    for number, line in enumerate(lines, start=1):
        if "sig" not in line:
            sys.stdout.write(f"note: line {number} carries no signature; the next signed line covers it\n")
    for one in wrong:  # in ASCII: what a line holds may not move a cursor
        sys.stdout.write(f"NO  {ascii(one)[1:-1]}\n")
    sys.stdout.write(f"{ascii(folder.name)[1:-1]} ({mode}): {'does not hold' if wrong else said}\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
