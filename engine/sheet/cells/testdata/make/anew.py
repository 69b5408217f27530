"""Has LibreOffice write spreadsheets of this folder anew, as .xlsx and as .ods, without the pictures of their first pages.

How it is run is said in make.py.
"""
import subprocess
import tempfile
import zipfile

ANEW = ["openpyxl-bag", "openpyxl-dates", "openpyxl-dates1904", "openpyxl-formulas", "openpyxl-merged", "openpyxl-formats", "openpyxl-sheets", "openpyxl-sparse",
        "openpyxl-texts", "openpyxl-truths", "xlsxwriter-formulas", "xlsxwriter-rich"]
for kind in ("xlsx", "ods"):
    with tempfile.TemporaryDirectory() as to:
        subprocess.run(["soffice", "-env:UserInstallation=file://" + to + "/profile", "--headless", "--convert-to", kind, "--outdir", to] + [f"../{n}.xlsx" for n in ANEW], check=True)
        for n in ANEW:
            name = "../libreoffice-" + n.split("-", 1)[1] + ("2" if n.startswith("xlsxwriter") else "") + "." + kind
            with zipfile.ZipFile(f"{to}/{n}.{kind}") as old, zipfile.ZipFile(name, "w", zipfile.ZIP_DEFLATED) as new:
                for part in old.infolist():
                    if not part.filename.startswith("Thumbnails"):
                        new.writestr(part, old.read(part))
