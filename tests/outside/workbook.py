"""Looks at a blank workbook through openpyxl, fills it in as a person would, and saves it again.

    python workbook.py project.xlsx

Prints what it found as JSON, by sheet: headings, the lists that drop down, notes, widths.
"""

import datetime
import json
import sys

import openpyxl


def lists(sheet):
    found = {}
    for one in sheet.data_validations.dataValidation:
        for cells in one.sqref.ranges:
            found[sheet.cell(1, cells.min_col).value] = [one.formula1, cells.min_row, cells.max_row]
    return found


def widths(sheet):
    """Widths by number of column; one entry may stand for several columns."""
    return {
        column: one.width
        for one in sheet.column_dimensions.values()
        for column in range(one.min, one.max + 1)
    }


def main(path):
    book = openpyxl.load_workbook(path)
    found = {
        sheet.title: {
            "headings": [cell.value for cell in sheet[1]],
            "lists": lists(sheet),
            "notes": sum(cell.comment is not None for cell in sheet[1]),
            "narrow": [
                cell.value
                for cell in sheet[1]
                if widths(sheet).get(cell.column, 0) < len(str(cell.value)) + 1
            ],
            "frozen": sheet.freeze_panes,
        }
        for sheet in book
        if not sheet.title.startswith("note")
    }
    print(json.dumps(found))
    fill(book["plan-blocks"], block="4-12", row="bilge-port", station_m=20.5, offset_m=2, length_mm=600, width_mm=600)
    fill(book["positions-positions"], position="P1", landed=datetime.datetime(2031, 4, 7, 12, 31))
    fill(book["landing-water"], position="P1", at=datetime.datetime(2031, 4, 7, 12, 40), level_m=-2.05)
    book.save(path)


def fill(sheet, **values):
    columns = {cell.value: cell.column for cell in sheet[1]}
    for heading, value in values.items():
        sheet.cell(2, columns[heading]).value = value


main(sys.argv[1])
