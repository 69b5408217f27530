"""The six rules of six.ferrule in Python: a sheet of decimals, the rows of a set together.

Findings go to standard output, FILE:ROW: fail RULE.
"""
import csv
import sys


def main(path):
    out = sys.stdout

    def fail(row, rule):
        out.write(f"{path}:{row}: fail {rule}\n")

    with open(path, newline="", encoding="utf-8") as sheet:
        rows = csv.reader(sheet)
        next(rows)
        bag, first, count = None, 0, 0
        for row, (name, _, club, length, _, lie, loft, mass) in enumerate(rows, 2):
            if name != bag:
                if count > 14:
                    fail(first, "clubs-carried")
                bag, first, count = name, row, 0
            count += 1
            length = float(length)
            if club != "putter" and length > 48:
                fail(row, "longest-club")
            if club != "putter" and length < 18:
                fail(row, "shortest-club")
            if float(lie) > 80:
                fail(row, "upright-lie")
            if club == "putter" and float(loft) > 10:
                fail(row, "putter-loft")
            if float(mass) > 600:
                fail(row, "heaviest-club")
        if count > 14:
            fail(first, "clubs-carried")


main(sys.argv[1])
