"""What chunk length and compression of the packed columns cost: size, time to write, time to read.

usage: study_storage.py <study>
Copies the packed columns (series and body) of a study into new files, one for each choice, and
prints a table. Times are of the processor, so that a busy machine counts for little.
"""
import sys
import tempfile
import time
from pathlib import Path

import h5py
import numpy as np

CHOICES = [(4096, None, False), (16384, None, False), (65536, None, False),
           (16384, 1, False), (16384, 1, True), (16384, 4, True), (16384, 9, True)]

columns = {}
with h5py.File(sys.argv[1]) as study:
    for group in ("series", "body"):
        study[group].visititems(
            lambda path, item, group=group: columns.update({f"{group}/{path}": item[()]})
            if isinstance(item, h5py.Dataset) and item.id.get_storage_size() > 0 else None)
    swings = len(study["swings/index"])
raw = sum(values.nbytes for values in columns.values())
first = min(columns)
print(f"{swings} swings, {len(columns)} columns, {raw / 1e6:.0f} MB; times in ms of the processor a "
      "swing\n\n| chunk, rows | compression | size, % | write | read all | read one swing of one "
      "column |\n|---|---|---|---|---|---|")
with tempfile.TemporaryDirectory() as folder:
    for chunk, level, shuffle in CHOICES:
        path = Path(folder) / "trial.h5"
        begun = time.process_time()
        with h5py.File(path, "w", libver=("v110", "v110")) as file:
            for name, values in columns.items():
                shape = (min(chunk, len(values)),) + values.shape[1:]
                file.create_dataset(name, data=values, chunks=shape, fletcher32=True,
                                    compression="gzip" if level else None, compression_opts=level,
                                    shuffle=shuffle)
        wrote = time.process_time() - begun
        begun = time.process_time()
        with h5py.File(path) as file:
            for name in columns:
                file[name][()]
        read = time.process_time() - begun
        begun = time.process_time()
        for start in np.linspace(0, len(columns[first]) - 3000, 50).astype(int):
            with h5py.File(path) as file:
                file[first][start:start + 2000]
        one = (time.process_time() - begun) / 50
        words = "none" if not level else f"{'shuffle, ' if shuffle else ''}gzip {level}"
        print(f"| {chunk} | {words} | {100 * path.stat().st_size / raw:.0f} | "
              f"{1e3 * wrote / swings:.2f} | {1e3 * read / swings:.2f} | {1e3 * one:.2f} |",
              flush=True)
