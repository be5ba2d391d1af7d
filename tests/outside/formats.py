"""Holds identifiers of PRONOM against PyPI opf-fido, which brings a copy of the registry, and of SPDX against packaging.

    python formats.py names ADDRESS=NAME...   every address is an entry of the registry with that name and version
    python formats.py licences ID...          every one is an identifier of the SPDX list that PyPI packaging brings
    python formats.py files DATA              every file that ro-crate-metadata.json gives an identifier is one of those
                                              that fido finds for it
"""

import json
import pathlib
import subprocess
import sys
import urllib.parse
import xml.etree.ElementTree as tree

import fido
from packaging.licenses._spdx import LICENSES

BASE = "https://www.nationalarchives.gov.uk/PRONOM/"
# fido takes these endings for other entries, or for none: DROID's own list has the entry that is given.
BY_NAME = {"fmt/817": "json"}


def registry():
    formats = {}
    for file in (pathlib.Path(fido.__file__).parent / "conf").glob("formats-v*.xml"):
        for entry in tree.parse(file).getroot().iter("format"):
            said = {child.tag: child.text or "" for child in entry}
            ends = {child.text for child in entry.iter("extension")}
            formats[said["puid"]] = (f"{said['name']} {said.get('version', '')}".strip(), ends)
    return formats


def names(given):
    known = registry()
    wrong = 0
    for one in given:
        address, _, name = one.partition("=")
        found = known.get(address.removeprefix(BASE))
        if not address.startswith(BASE) or found is None or found[0] != name:
            wrong += 1
            print(f"{address} is {found and found[0]!r}, not {name!r}")
    print(len(given), "entries")
    return wrong


def files(data):
    known = registry()
    run = [sys.executable, "-m", "fido.fido", "-q", "-pronom_only", "-bufsize", "4000000", "-recurse",
           "-matchprintf", "%(info.filename)s\t%(info.puid)s\n", "-nomatchprintf", "%(info.filename)s\t\n", str(data)]
    said = subprocess.run(run, capture_output=True, check=True).stdout.decode("utf-8", "surrogateescape")
    found = {}
    for line in said.splitlines():
        path, _, puid = line.rpartition("\t")
        found.setdefault(str(pathlib.Path(path).relative_to(data)), set()).add(puid)
    wrong = checked = 0
    graph = json.loads((data / "ro-crate-metadata.json").read_text("utf-8"))["@graph"]
    for entity in graph:
        if entity["@type"] != "File":
            continue
        path = urllib.parse.unquote(entity["@id"])
        for format in entity["encodingFormat"]:
            if isinstance(format, dict) and format["@id"].startswith(BASE):
                puid = format["@id"].removeprefix(BASE)
                by_name = BY_NAME.get(puid) == path.rsplit(".")[-1] and BY_NAME[puid] in known[puid][1]
                checked += 1
                if puid not in found[path] and not by_name:
                    wrong += 1
                    print(f"{path}: {puid}, but fido finds {sorted(found[path])}")
    print(checked, "files")
    return wrong


def licences(given):
    known = {licence["id"] for licence in LICENSES.values()}
    wrong = [licence for licence in given if licence not in known]
    print(len(given), "licences, of which unknown:", wrong)
    return len(wrong)


what, *rest = sys.argv[1:]
judges = {"names": names, "licences": licences, "files": lambda rest: files(pathlib.Path(rest[0]))}
sys.exit(1 if judges[what](rest) else 0)
