"""Writes one table of 200 clubs as six people type it, each in a program of their own.

On Debian 12 with python3-openpyxl, python3-xlsxwriter and libreoffice-calc:

    cd engine/testdata/typed && /usr/bin/python3 make.py
"""
import json
import random
import subprocess

import openpyxl
import xlsxwriter

random.seed(2026)
KINDS = [("driver", "driver", 0, 45, 58), ("wood", "fairway", 3, 43, 57), ("wood", "fairway", 5, 42, 58), ("hybrid", "hybrid", 4, 39.5, 59)]
KINDS += [("iron", "iron", n, 40 - n / 2, 58 + n / 2) for n in range(4, 10)]
KINDS += [("wedge", "wedge", 46, 35.5, 63), ("wedge", "wedge", 56, 35.25, 64), ("wedge", "wedge", 60, 35, 64), ("putter", "putter", 0, 34, 70)]


def clubs():
    """The table: set, id, kind, number, length in sixteenths of an inch, lie in quarters of a degree (or None), swing weight in half
    points from A0 (or None), hand."""
    out = []
    for bag in range(15):
        hand = "left" if bag % 5 == 4 else "right"
        for word, kind, n, length, lie in KINDS:
            if len(out) == 200:
                return out
            sixteenths = round(length * 16) + random.randint(-12, 16)
            quarters = None if random.random() < 0.1 else round(lie * 4) + random.randint(-6, 6)
            halves = None if random.random() < 0.2 else 60 + random.randint(-2, 10)
            out.append((f"bag {bag + 1:02}", f"{kind[0]}{n}", word, n, sixteenths, quarters, halves, hand))
    return out


TABLE = clubs()


def fraction(sixteenths):
    whole, part, below = sixteenths // 16, sixteenths % 16, 16
    while part and part % 2 == 0:
        part, below = part // 2, below // 2
    return f"{whole} {part}/{below}" if part else str(whole)


def swing(halves):
    letter, points = "ABCDEFG"[halves // 20], halves % 20 / 2
    return f"{letter}{points:g}"


def typed(word, n, how):
    if word in ("driver", "putter"):
        return {0: word, 1: word.capitalize(), 2: word.upper()}[how % 3]
    if word == "wedge":
        return [f"{n}", f"{n}°", f"{n} wedge", f"wedge {n}"][how % 4]
    short = {"wood": "w", "hybrid": "h", "iron": "i"}[word]
    long = {"wood": "Fairway Wood", "hybrid": "Rescue", "iron": "Iron"}[word]
    return [f"{n}{short}", f"{n} {long}", f"{n}-{long}", f"{short.upper()}{n}"][how % 4]


HANDS = {"left": ["left", "LH", "Left-handed", "lefty", "L"], "right": ["right", "RH", "Right-handed", "right handed", "R"]}

# 1: CSV, fractions of an inch, the units in the headings.
with open("commas.csv", "w") as f:
    f.write("set,id,club,length (in),by,lie (deg),swingweight,hand\n")
    for s, i, w, n, x, y, z, h in TABLE:
        f.write(f"{s},{i},{typed(w, n, 0)},{fraction(x)},soled,{'' if y is None else y / 4},{'' if z is None else swing(z)},{h}\n")

# 2: CSV by semicolons, millimetres with a decimal comma, a title above, Windows line ends.
with open("semicolons.csv", "w", newline="") as f:
    f.write("\ufeffAll bags of the spring;;;;;;;\r\n\r\nPlayer;Club ID;Club type;Length (mm);By;Lie angle;Swing Wt.;RH/LH\r\n")
    for s, i, w, n, x, y, z, h in TABLE:
        mm, lie = f"{x * 1.5875:.4f}".rstrip("0").rstrip("."), "-" if y is None else f"{y / 4:g}°".replace(".", ",")
        sw = "n/a" if z is None else swing(z).lower().replace(".", ",")
        f.write(f"{s.upper()};{i};{typed(w, n, 1)};{mm.replace('.', ',')};Soled;{lie};{sw};{HANDS[h][1]}\r\n")

# 3: openpyxl, plain numbers, each bag's name in one merged cell.
wb = openpyxl.Workbook()
ws = wb.active
ws.title = "Spring"
ws.append(["Spring bags"])
ws.merge_cells("A1:H1")
ws.append(["Bag", "Tag", "Club", "Length (in)", "By", "Lie (deg)", "SW", "Hand"])
start = {}
for s, i, w, n, x, y, z, h in TABLE:
    ws.append([None if s in start else s, i, n if w == "wedge" else typed(w, n, 2), x / 16, "soled", None if y is None else y / 4, None if z is None else swing(z), HANDS[h][2]])
    start.setdefault(s, ws.max_row)
rows = list(start.values()) + [ws.max_row + 1]
for a, b in zip(rows, rows[1:]):
    ws.merge_cells(start_row=a, end_row=b - 1, start_column=1, end_column=1)
    ws.merge_cells(start_row=a, end_row=b - 1, start_column=5, end_column=5)
    ws.merge_cells(start_row=a, end_row=b - 1, start_column=8, end_column=8)
wb.save("openpyxl.xlsx")

# 4: XlsxWriter, texts with inch marks, formulas with their values, a hidden sheet before the visible one.
wb = xlsxwriter.Workbook("xlsxwriter.xlsx")
old, ws = wb.add_worksheet("Old"), wb.add_worksheet("Now")
old.write_row(0, 0, ["set", "club"])
old.write_row(1, 0, ["old", "7i"])
old.hide()
ws.activate()
ws.set_first_sheet()
for c, heading in enumerate(["Customer", "Ref.", "Club name", "Overall length", "by", "LIE", "swing weight", "Dexterity", "Remarks"]):
    ws.write(4, c, heading)
for r, (s, i, w, n, x, y, z, h) in enumerate(TABLE, 5):
    ws.write_row(r, 0, [s.title(), i, typed(w, n, 3), fraction(x).replace(" ", "-") + '"', "soled"])
    if y is not None:
        ws.write_formula(r, 5, f'="{y / 4:g}"&" deg"', None, f"{y / 4:g} deg")
    ws.write(r, 6, "?" if z is None else swing(z).replace("D", "D ", 1))
    ws.write(r, 7, HANDS[h][3])
    ws.write(r, 8, "new grip" if r % 7 == 0 else "")
wb.close()

# 5: LibreOffice, from centimetres.
wb = openpyxl.Workbook()
ws = wb.active
ws.append(["golfer", "id", "club", "len (cm)", "by", "lie", "sw", "hand"])
for s, i, w, n, x, y, z, h in TABLE:
    ws.append([s, i, typed(w, n, 1), x * 15.875 / 100, "SOLED", None if y is None else f"{y / 4:g} degrees", None if z is None else swing(z), HANDS[h][4]])
wb.save("libreoffice.xlsx")
subprocess.run(["soffice", "--headless", "--convert-to", "ods", "libreoffice.xlsx"], check=True)
subprocess.run(["rm", "libreoffice.xlsx"], check=True)

# 6: JSON Lines, of which each line has the members that it needs.
with open("lines.jsonl", "w") as f:
    for k, (s, i, w, n, x, y, z, h) in enumerate(TABLE):
        feet = f"{x // 192}ft {fraction(x % 192)}in"
        line = {"set": s, "id": i, "club": typed(w, n, k), "length": feet if k % 2 else f"{x / 16:g} inches", "by": "soled", "hand": HANDS[h][k % 5]}
        if w == "iron" and k % 3 == 0:
            del line["club"]
            line["kind"], line["number"] = "iron", n
        if y is not None or k % 2:
            line["lie"] = None if y is None else f"{y / 4:g} Deg."
        if z is not None:
            line["swingweight"] = swing(z)
        f.write(json.dumps(line, ensure_ascii=False) + "\n")
