"""Writes the fixtures beside it: the barge's records as spreadsheets keep them.

    python3 make.py          needs openpyxl, and LibreOffice Calc as soffice

openpyxl.xlsx     every sheet with typed cells: numbers, dates, truth values
libreoffice.xlsx  the same, opened and saved by LibreOffice
libreoffice.ods   the same as OpenDocument
csv-*/            the sheets as LibreOffice saves them as CSV, in the ways in which people save them
odd.xlsx          cells that are not what they seem, for which see main.rs
"""

import csv
import datetime
import pathlib
import re
import shutil
import subprocess
import tempfile

import openpyxl
from openpyxl.styles import numbers

HERE = pathlib.Path(__file__).parent
BARGE = HERE / "barge"
# What stands between cells, the character set (76 is UTF-8, 1 Windows-1252, 65535 UTF-16), the locale.
WAYS = {
    "semicolons": (59, 76, "de-DE"),
    "windows-1252": (59, 1, "de-DE"),
    "tabs-utf-16": (9, 65535, "en-GB"),
    "commas": (44, 76, "en-US"),
}
TIME = re.compile(r"(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d)\+01:00$")
DAY = re.compile(r"\d{4}-\d\d-\d\d$")


def typed(text, truths):
    """The cell that a person has who types this text into a spreadsheet."""
    if found := TIME.match(text):
        return datetime.datetime.fromisoformat(found[1])
    if DAY.match(text):
        return datetime.date.fromisoformat(text)
    if truths and text in ("yes", "no"):
        return text == "yes"
    for number in (int, float):
        try:
            return number(text)
        except ValueError:
            pass
    return text


def workbook(truths):
    book = openpyxl.Workbook()
    book.active.title = "Sheet1"  # left empty, as a new workbook has it
    for path in sorted(BARGE.rglob("*.csv")):
        sheet = book.create_sheet(str(path.relative_to(BARGE))[:-4].replace("/", "-"))
        for row in csv.reader(path.open(encoding="utf-8", newline="")):
            sheet.append([typed(cell, truths) if cell else None for cell in row])
        for row in sheet.iter_rows():
            for cell in row:
                if isinstance(cell.value, datetime.datetime):
                    cell.number_format = "yyyy-mm-dd hh:mm"
                elif isinstance(cell.value, str):
                    cell.number_format = numbers.FORMAT_TEXT
    notes = book.create_sheet("note-to-self")
    notes["B3"] = "kept, and read by nobody"
    return book


def soffice(profile, locale, *arguments):
    settings = profile / "user/registrymodifications.xcu"
    settings.parent.mkdir(parents=True, exist_ok=True)
    settings.write_text(
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<oor:items xmlns:oor="http://openoffice.org/2001/registry" '
        'xmlns:xs="http://www.w3.org/2001/XMLSchema" '
        'xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">\n'
        '<item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale" '
        f'oor:op="fuse"><value>{locale}</value></prop></item>\n</oor:items>\n'
    )
    subprocess.run(
        ["soffice", f"-env:UserInstallation=file://{profile}", "--headless", *map(str, arguments)],
        check=True,
        stdout=subprocess.DEVNULL,
    )


def odd():
    """One sheet of the barge, every cell of it doubtful in its own way."""
    book = openpyxl.Workbook()
    blocks = book.active
    blocks.title = "plan-blocks"
    blocks.append(
        ["block", "row", "station_m", "offset_m", "length_mm", "width_mm", "note", "", "height_mm"]
    )
    day = datetime.date(2031, 12, 4)
    blocks.append([day, "keel", 20, 0, 600, 1200])  # A2: 4-12 typed in
    blocks.append([12, "keel", "=A2*0+21.4", 0, 600, 1200])  # C3: no value in the file
    blocks.append([13, "keel", 0.228, 0, 600, 1200])  # C4: shown as 23 %
    blocks["C4"].number_format = "0%"
    blocks.append([14, "keel", "#DIV/0!", 0, 600, 1200])  # C5: an error
    blocks.append([15, "keel", 0.1 + 0.2, 0, 600, 1200, True, 7])  # H6: under no name
    blocks.append([16, "keel", datetime.time(6, 40), 0, 600, 1200])  # C7: a time of day
    blocks.append([12, "keel", 25, 0, 600, 1200])  # A8: the name of A3 again
    book.create_sheet("plan-blokcs").append(["block"])
    book.save(HERE / "odd.xlsx")


def main():
    odd()
    workbook(truths=True).save(HERE / "openpyxl.xlsx")
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        profile = folder / "profile"
        for end in ("ods", "xlsx"):
            soffice(profile, "en-GB", "--convert-to", end, "--outdir", folder, HERE / "openpyxl.xlsx")
            shutil.copy(folder / f"openpyxl.{end}", HERE / f"libreoffice.{end}")
        book = folder / "book.xlsx"
        workbook(truths=False).save(book)
        for way, (between, characters, locale) in WAYS.items():
            out = folder / way
            # Separator, quotation mark, character set, first line, formats, language, quote texts, numbers
            # as numbers, as shown, no formulas, no spaces taken away, every sheet.
            options = f"{between},34,{characters},1,,0,false,true,true,false,false,-1"
            soffice(
                profile, locale, "--convert-to",
                f"csv:Text - txt - csv (StarCalc):{options}", "--outdir", out, book,
            )  # fmt: skip
            for path in sorted(BARGE.rglob("*.csv")):
                name = path.relative_to(BARGE)
                into = HERE / f"csv-{way}" / name
                into.parent.mkdir(parents=True, exist_ok=True)
                shutil.copy(out / f"book-{str(name)[:-4].replace('/', '-')}.csv", into)


main()
