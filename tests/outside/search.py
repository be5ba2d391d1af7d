"""What a reader finds who searches a PDF, by PyPI pymupdf: prints the words of standard input that no page holds.

    search.py FILE < words, one on each line

A search goes line by line, so that a word which a character without a shape breaks, or which is divided at the end of a
line, is not found. Words are looked for once; the status is 1 if one is not found.
"""

import sys

import pymupdf


def main():
    document = pymupdf.open(sys.argv[1])
    words = [line for line in sys.stdin.read().splitlines() if line]
    missing = [word for word in words if not any(page.search_for(word) for page in document)]
    print("\n".join(missing))
    sys.exit(1 if missing or not words else 0)


main()
