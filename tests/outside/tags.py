"""What a listener gets of PDFs, by PyPI pikepdf: walks the tree of tags, prints what is wrong, and the status is 1 then.

    tags.py FILE...

- a table has a caption or a summary, a header for each column, and a row header in each row of data;
- text stands in a paragraph, a heading, a caption, a label, an item of a list, a cell, a figure or a formula;
- a figure's alternative text has at most 500 characters;
- no two bookmarks side by side have one title.
"""

import sys
from collections import Counter

import pikepdf

# In which text may stand (ISO 32000-1, 14.8.4).
HOLD_TEXT = {"/P", "/Title", "/Caption", "/Lbl", "/LBody", "/TH", "/TD", "/Figure", "/Formula", "/Code", "/Note", "/TOCI"}
HOLD_TEXT |= {f"/H{n}" for n in range(1, 10)}
# Parts of a line: they stand where text may stand.
INLINE = {"/Span", "/Link", "/Strong", "/Em", "/Reference", "/Quote", "/NonStruct"}
MOST_ALT = 500


def kids(element):
    kids = element.get("/K")
    if kids is None:
        return []
    return list(kids) if isinstance(kids, pikepdf.Array) else [kids]


def is_element(kid):
    return isinstance(kid, pikepdf.Dictionary) and "/S" in kid


def below(element):
    """All elements under one, itself left out."""
    for kid in kids(element):
        if is_element(kid):
            yield kid
            yield from below(kid)


def attributes(element):
    found = element.get("/A", [])
    found = found if isinstance(found, pikepdf.Array) else [found]
    return [one for one in found if isinstance(one, pikepdf.Dictionary)]


def attribute(element, name):
    return next((str(one[name]) for one in attributes(element) if name in one), None)


def look_at_table(table, say, counts):
    counts["tables"] += 1
    if attribute(table, "/Summary") is None and not any(str(kid["/S"]) == "/Caption" for kid in kids(table) if is_element(kid)):
        say(f"table {counts['tables']} has neither a caption nor a summary")
    rows = [one for one in below(table) if str(one["/S"]) == "/TR"]
    for number, row in enumerate(rows):
        cells = [cell for cell in kids(row) if is_element(cell)]
        heads = [cell for cell in cells if str(cell["/S"]) == "/TH"]
        counts["cells"] += len(cells)
        if number == 0:
            if len(heads) != len(cells):
                say(f"table {counts['tables']}: {len(cells) - len(heads)} columns without a header")
        elif not any(attribute(cell, "/Scope") in ("/Row", "/Both") for cell in heads):
            say(f"table {counts['tables']}: row {number} of {len(rows) - 1} has no row header")


def walk(element, may_hold_text, say, counts):
    for kid in kids(element):
        if is_element(kid):
            tag = str(kid["/S"])
            counts[tag.strip("/")] += 1
            if tag == "/Table":
                look_at_table(kid, say, counts)
            alt = str(kid.get("/Alt", ""))
            if len(alt) > MOST_ALT:
                say(f"an alternative text of {len(alt)} characters: {alt[:60]}...", kid)
            walk(kid, may_hold_text if tag in INLINE else tag in HOLD_TEXT, say, counts)
        elif not may_hold_text and not (isinstance(kid, pikepdf.Dictionary) and kid.get("/Type") == "/OBJR"):
            say(f"text outside of a paragraph, straight in {element['/S']}", element)


def look_at(path):
    wrong = 0
    counts = Counter()
    said = Counter()
    with pikepdf.open(path) as pdf:
        numbers = {page.obj.objgen: n + 1 for n, page in enumerate(pdf.pages)}

        def say(words, element=None):
            nonlocal wrong
            wrong += 1
            page = element.get("/Pg") if element is not None else None
            said[words + (f" on page {numbers[page.objgen]}" if page is not None else "")] += 1

        root = pdf.Root["/StructTreeRoot"]
        walk(root, False, say, counts)
        with pdf.open_outline() as outline:
            def marks(items, under):
                titles = [str(item.title) for item in items]
                for title, times in Counter(titles).items():
                    if times > 1:
                        say(f"{times} bookmarks {title!r} under {under!r}")
                for item in items:
                    counts["bookmarks"] += 1
                    marks(item.children, str(item.title))

            marks(outline.root, "")
    for words, times in said.items():
        print(f"{path}: {words}" + (f" ({times} times)" if times > 1 else ""))
    print(f"{path}: " + ", ".join(f"{name} {count}" for name, count in sorted(counts.items())))
    return wrong


if len(sys.argv) < 2:
    sys.exit("no file was named")
sys.exit(1 if sum(look_at(path) for path in sys.argv[1:]) else 0)
