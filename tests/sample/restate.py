"""Prints STATED of remarks.py anew: what each answered finding says now, as `lastdock answers` writes it.

    cargo build --release && python3 tests/sample/restate.py

The figures are taken over into remarks.py by hand, after a look at each that changed: the answer must still be one to it.
"""

import json
import subprocess
import tempfile
from pathlib import Path
from shutil import copytree

import remarks

ROOT = Path(__file__).parents[2]


def main():
    with tempfile.TemporaryDirectory() as folder:
        project = Path(folder) / "project"
        copytree(ROOT / "sample-project", project)
        (project / "remarks.toml").write_text("")
        ids = [finding for finding, *_ in remarks.REMARKS]
        command = [ROOT / "target/release/lastdock", "answers", project, *ids, "--dry-run", "--json"]
        said = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
    print("STATED = {")
    for finding in said["added"][0]["findings"]:
        states = {key: finding[key] for key in ("outcome", "recorded", "recomputed", "limit") if finding[key]}
        print(f"    {json.dumps(finding['id'])}: {json.dumps(states, ensure_ascii=False)},")
    print("}")


if __name__ == "__main__":
    main()
