"""Pictures of symbols as a webcam might take them of a telephone, and what zxing-cpp reads of them.

usage: pictures.py SYMBOLS.json FOLDER RESULTS.json

For each symbol and each size 30 pictures: every corner moved by up to 7 % of the width, blur of 0.3 module, noise
of a standard deviation of 8 grey levels, dark 30 and light 225 of 255. All are synthetic. The pictures are kept
in FOLDER, so that the decoder of the workbench can be asked about the very same ones.
"""
import json
import sys
from pathlib import Path

import cv2
import numpy as np
import zxingcpp

SIZES = [2, 3, 4, 6]
PICTURES = 30
SEED = 20261130


def taken(rows, per_module, rng):
    """One picture of a symbol, `per_module` pixels for each of its modules."""
    fine = 12
    grid = np.pad(1 - np.array([[int(m) for m in row] for row in rows], dtype=np.float32), 4, constant_values=1)
    sheet = np.kron(grid, np.ones((fine, fine), dtype=np.float32)) * 195 + 30
    width = sheet.shape[0]
    # Drawn three times as fine as it is taken, then averaged: a pixel sees its whole area.
    more = 3
    side = grid.shape[0] * per_module * more
    margin = 0.1 * side
    corners = np.array([[0, 0], [side, 0], [side, side], [0, side]], dtype=np.float32) + margin
    moved = corners + rng.uniform(-0.07, 0.07, (4, 2)).astype(np.float32) * side
    source = np.array([[0, 0], [width, 0], [width, width], [0, width]], dtype=np.float32)
    whole = int(np.ceil((side + 2 * margin) / more)) * more
    warped = cv2.warpPerspective(
        sheet, cv2.getPerspectiveTransform(source, moved.astype(np.float32)), (whole, whole),
        flags=cv2.INTER_AREA, borderMode=cv2.BORDER_CONSTANT, borderValue=120,
    )
    small = warped.reshape(whole // more, more, whole // more, more).mean(axis=(1, 3))
    blurred = cv2.GaussianBlur(small, (0, 0), 0.3 * per_module)
    return np.clip(blurred + rng.normal(0, 8, blurred.shape), 0, 255).round().astype(np.uint8)


def main():
    symbols = json.load(open(sys.argv[1]))
    folder = Path(sys.argv[2])
    folder.mkdir(parents=True, exist_ok=True)
    rng = np.random.default_rng(SEED)
    results, names = [], []
    for symbol in symbols:
        row = {"log": symbol["name"], "level": symbol["level"], "version": symbol["version"],
               "characters": len(symbol["text"]), "read": {}, "wrong": 0}
        for per_module in SIZES:
            read = 0
            for at in range(PICTURES):
                image = taken(symbol["rows"], per_module, rng)
                name = f"v{symbol['version']}{symbol['level']}-{len(results)}-{per_module}-{at}.png"
                cv2.imwrite(str(folder / name), image)
                names.append({"file": name, "text": symbol["text"], "row": len(results), "per_module": per_module})
                found = [one.text for one in zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)]
                read += found == [symbol["text"]]
                row["wrong"] += sum(text != symbol["text"] for text in found)
            row["read"][str(per_module)] = read
        print(row, flush=True)
        results.append(row)
    json.dump(names, open(folder / "pictures.json", "w"))
    json.dump({"pictures of each size": PICTURES, "pixels per module": SIZES, "rows": results},
              open(sys.argv[3], "w"), indent=1)


if __name__ == "__main__":
    main()
