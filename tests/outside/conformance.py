"""Holds PDFs against PDF/A-3a and PDF/UA-1 by PyPI page-validation: what fails is printed, and the status is 1 then.

    conformance.py FILE...
"""

import subprocess
import sys

import page

# Data tables have more rows than the default allows.
LIMITS = page.SafetyLimits(max_table_grid_rows=100_000, max_table_grid_cells=10_000_000)

# The one false alarm that is known (ISO 19005-3, 6.1.7.1): of a stream whose last byte is 0x0D, that byte is taken for part of the end of the
# line. It counts for nothing where qpdf finds every stream's length right.
STREAM_LENGTH = "STREAM-LENGTH"


def lengths_are_right(path):
    said = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True, check=False)
    return said.returncode == 0 and "No syntax or stream encoding errors found" in said.stdout


wrong = 0
for path in sys.argv[1:]:
    for profile in ("3a", "ua1"):
        report = page.validate_pdf(path, profile=profile, limits=LIMITS)
        if report.rules.total <= 50:
            sys.exit(f"only {report.rules.total} rules were tried")
        for failure in report.failures:
            if STREAM_LENGTH in failure.rule_id and lengths_are_right(path):
                continue
            print(f"{path}: {profile}: {failure.rule_id}: {failure.message}")
            wrong += 1
if len(sys.argv) < 2:
    sys.exit("no file was named")
sys.exit(1 if wrong else 0)
