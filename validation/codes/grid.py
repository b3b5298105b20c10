"""Whether others agree with every version and level that our encoder draws: one encoder, two decoders.

segno draws the same text with each of the eight masks; one of them must be ours, module by module (with its
filling of a whole byte put right, see below). zxing-cpp must
read all. OpenCV reads no large symbols, whoever drew them: it is asked about ours and about segno's.

usage: grid.py SYMBOLS.json
"""
import json
import sys

import cv2
import numpy as np
import segno
import segno.encoder
import zxingcpp


def to_the_next_byte(buff, version, length):
    """Zeros up to a whole byte. segno adds eight where none is missing; the standard adds none then."""
    buff.extend([0] * (-length % 8))


segno.encoder.write_padding_bits = to_the_next_byte


def picture(rows, scale=4, quiet=4):
    grid = np.array([[int(module) for module in row] for row in rows], dtype=np.uint8)
    grid = np.pad(1 - grid, quiet, constant_values=1)
    return np.kron(grid, np.ones((scale, scale), dtype=np.uint8)) * 255


def main():
    symbols = json.load(open(sys.argv[1]))
    reader = cv2.QRCodeDetector()
    counts = {"module by module as segno": 0, "zxing-cpp": 0, "opencv": 0, "opencv, of segno's": 0}
    missed = []
    for symbol in symbols:
        image = picture(symbol["rows"])
        found = zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)
        by_zxing = len(found) == 1 and found[0].text == symbol["text"]
        by_opencv = reader.detectAndDecode(image)[0] == symbol["text"]
        mode = "byte" if symbol["name"] == "bytes" else "alphanumeric"
        encoding = {"encoding": "utf-8"} if mode == "byte" else {}
        masked = [
            segno.make(symbol["text"], error=symbol["level"], boost_error=False, mode=mode, micro=False, eci=False,
                       mask=mask, **encoding)
            for mask in range(8)
        ]
        theirs = [["".join(str(module) for module in row) for row in one.matrix] for one in masked]
        same = symbol["rows"] in theirs
        counts["module by module as segno"] += same
        counts["zxing-cpp"] += by_zxing
        counts["opencv"] += by_opencv
        counts["opencv, of segno's"] += reader.detectAndDecode(picture(theirs[0]))[0] == symbol["text"]
        if not (by_zxing and same):
            missed.append((symbol["name"], symbol["level"], symbol["version"], by_zxing, same))
    print(f"{len(symbols)} symbols, versions {sorted({s['version'] for s in symbols})}")
    print(counts)
    for line in missed:
        print("missed", line)
    return 0 if counts["zxing-cpp"] == len(symbols) == counts["module by module as segno"] else 1


if __name__ == "__main__":
    sys.exit(main())
