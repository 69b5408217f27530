"""Writes down what openpyxl reads of each .xlsx of this folder; how it is run is said in make.py.

A line is a cell of one sheet: its name, and its text as JSON. A number is written without an exponent, a percentage as
45.75 %, a day as 2026-04-03 without the time behind it, a time of day as 14:30:00, a formula whose value was not stored as
the formula. Blanks around a text are left away, and so are empty cells.
"""
import datetime as d
import glob
import json
import re

import openpyxl


def text(value, code):
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, d.timedelta):
        value = (d.datetime(1900, 1, 1) + value).time() if value.days == 0 else value
    if isinstance(value, (d.datetime, d.date)):
        return value.strftime("%Y-%m-%d")
    if isinstance(value, d.time):
        return value.replace(microsecond=0).strftime("%H:%M:%S")
    if isinstance(value, (int, float)):
        if "%" in re.sub(r'"[^"]*"|\\.', "", code):
            return plain(value * 100) + " %"
        return plain(value)
    return str(value).strip()


def plain(n):
    s = format(n, ".15g")
    return format(n, ".20f").rstrip("0").rstrip(".") if "e" in s else s


def want(file, values, formulas, source):
    with open(file + ".want", "w") as out:
        out.write(f"# {source}\n# sheet: {json.dumps(values.title)}\n")
        for at, cell in sorted(values._cells.items()):
            value, formula = cell.value, formulas._cells[at]
            if value is None and formula.data_type == "f":
                value = formula.value
            s = text(value, cell.number_format) if value is not None else ""
            if s:
                out.write(f"{cell.coordinate} {json.dumps(s, ensure_ascii=False)}\n")


for file in sorted(glob.glob("../*.xlsx")):
    if "strict" in file:  # which openpyxl does not read
        continue
    values, formulas = openpyxl.load_workbook(file, data_only=True), openpyxl.load_workbook(file)
    first = values.sheetnames[0]
    want(file, values[first], formulas[first], "read by openpyxl " + openpyxl.__version__)
