"""The CSV tables opened by NumPy and by R: nothing lost, nothing added, the same on both sides.

    read_tables.py SWATHE SOURCE_DIR

Makes a small study whose texts hold what tables stumble over (comma, quote, umlaut, markup), writes
its tables, reads them with numpy.loadtxt and, where Rscript is there, with R's read.csv; numbers are
held against the study file (h5py). Exit 77: NumPy or h5py is absent."""
import csv
import os
import shutil
import subprocess
import sys
import tempfile

try:
    import h5py
    import numpy as np
except ImportError as absent:
    print(f"skipped: {absent}")
    sys.exit(77)

SWATHE, SOURCE = sys.argv[1:3]
PLAYER = 'Ä 1, "the <b>long</b> one"'

R_SCRIPT = """
files <- commandArgs(trailingOnly = TRUE)
for (f in files) {
  t <- read.csv(f, stringsAsFactors = FALSE, check.names = FALSE, na.strings = "", encoding = "UTF-8")
  for (name in names(t)) {
    x <- t[[name]]
    if (is.numeric(x)) cat(basename(f), name, "n", sum(!is.na(x)),
                           sprintf("%.17g", sum(x, na.rm = TRUE)), "\\n", sep = "\\t")
    else cat(basename(f), name, "t", sum(!is.na(x)),
             sum(nchar(ifelse(is.na(x), "", as.character(x)))), "\\n", sep = "\\t")
  }
}
"""


def run(*arguments):
    done = subprocess.run([SWATHE, *arguments], capture_output=True, text=True)
    assert done.returncode in (0, 1), (arguments, done.stderr)


def make_study(folder):
    with open(os.path.join(folder, "sheet.csv"), "w", newline="", encoding="utf-8") as sheet:
        rows = csv.writer(sheet)
        rows.writerow(["file", "player", "session", "group", "shot", "note"])
        for k, shot in enumerate(["full", "full", "half"]):
            name = f"s{k}.c3d"
            run("generate", "swing", "-o", os.path.join(folder, name), "--seed", str(k + 1),
                "--shot", "0.5" if shot == "half" else "1")
            rows.writerow([name, PLAYER if k == 0 else f"P{k}", "1", "g", shot, 'said "good", then left'])
    study = os.path.join(folder, "study.h5")
    run("import", os.path.join(folder, "sheet.csv"), "--map",
        os.path.join(SOURCE, "datasets/maps/demo.ini"), "-o", study)
    run("measure", study)
    tables = os.path.join(folder, "tables")
    run("tables", study, "--curves", "-o", tables)
    return study, tables


def read_numpy(path):
    """Columns by name; all texts."""
    table = np.loadtxt(path, delimiter=",", quotechar='"', dtype=str, encoding="utf-8", comments=None,
                       ndmin=2)
    return {name: table[1:, k] for k, name in enumerate(table[0])}


def numbers(column):
    return np.array([float(x) if x else np.nan for x in column])


def is_number(column):
    try:
        numbers(column)
        return any(column)
    except ValueError:
        return False


def check_against_study(study, tables):
    long = read_numpy(os.path.join(tables, "measures_long.csv"))
    wide = read_numpy(os.path.join(tables, "measures_wide.csv"))
    scale = {"m": 1, "mm": 1000, "deg": 180 / np.pi, "deg/s": 180 / np.pi}
    compared = 0
    with h5py.File(study) as f:
        for name in np.unique(long["measure"]):
            at = long["measure"] == name
            stored = f[f"measures/{name}/value"][:] if f"measures/{name}/value" in f else f[f"measures/{name}"][:]
            factor = scale.get(long["unit"][at][0], 1)
            read = numbers(long["value"][at])
            np.testing.assert_allclose(read, stored * factor, rtol=1e-11, atol=1e-14, err_msg=name)
            compared += len(read)
    assert PLAYER in long["player"] and PLAYER in wide["player"], "a text was changed"
    assert 'said "good", then left' in long["note"]
    assert len(wide["swing"]) == 3 and "absent" in long["state"]
    return compared


def check_with_r(tables, files):
    script = os.path.join(os.path.dirname(tables), "read.R")
    with open(script, "w", encoding="utf-8") as out:
        out.write(R_SCRIPT)
    done = subprocess.run(["Rscript", "--vanilla", script, *files], capture_output=True, text=True,
                          env={**os.environ, "LC_ALL": "C.UTF-8"})
    assert done.returncode == 0, done.stderr
    seen = 0
    for line in done.stdout.splitlines():
        name, column, kind, n, total = line.split("\t")[:5]
        ours = read_numpy(os.path.join(tables, name))[column]
        assert int(n) == sum(1 for x in ours if x), (name, column, "values lost")
        if kind == "n":
            np.testing.assert_allclose(float(total), np.nansum(numbers(ours)), rtol=1e-12, atol=1e-12,
                                       err_msg=f"{name} {column}")
        elif any(ours):  # R reads a column without any value as logical
            assert int(total) == sum(len(x) for x in ours), (name, column, "texts changed")
        seen += 1
    return seen


folder = tempfile.mkdtemp(prefix="swathe-tables-")
try:
    study, tables = make_study(folder)
    files = sorted(os.path.join(tables, f) for f in os.listdir(tables) if f.endswith(".csv"))
    compared = check_against_study(study, tables)
    print(f"NumPy: {compared} measured values as in the study")
    dictionary = read_numpy(os.path.join(tables, "dictionary.csv"))
    for path in files:
        for column in read_numpy(path):
            assert column in dictionary["name"] or os.path.basename(path) in ("measures_wide.csv", "dictionary.csv"), \
                f"{path}: column {column} is not in the dictionary"
    if shutil.which("Rscript"):
        print(f"R: {check_with_r(tables, files)} columns of {len(files)} tables as NumPy reads them")
    else:
        print("note: Rscript is absent, R was not asked")
finally:
    shutil.rmtree(folder)
