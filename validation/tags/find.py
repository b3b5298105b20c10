"""Looks for the four tags in a finished floor guide with two general-purpose detectors.

Usage: find.py GUIDE.pdf [GUIDE.pdf ...]; needs pdftoppm (poppler-utils).
Each of the last four pages is rendered flat, and then turned, tilted, blurred and noisy as a photograph would be.
"""

import pathlib
import subprocess
import sys
import tempfile

import cv2
import numpy as np
from pupil_apriltags import Detector

DPI = 100
SIDE_MM = 120.0


def rendered(pdf):
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", "-png", pdf, f"{folder}/p"], check=True)
        return [cv2.imread(str(p), cv2.IMREAD_GRAYSCALE) for p in sorted(pathlib.Path(folder).iterdir())][-4:]


def photographed(page, chance):
    """Turned by up to 40 degrees, tilted, at half size, blurred, with noise."""
    h, w = page.shape
    corners = np.float32([[0, 0], [w, 0], [w, h], [0, h]])
    angle = np.radians(chance.uniform(-40, 40))
    turn = np.float32([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    middle = np.float32([w / 2, h / 2])
    there = (corners - middle) @ turn.T * 0.5 + middle
    there += np.float32(chance.uniform(-0.07, 0.07, (4, 2))) * w * 0.5
    view = cv2.warpPerspective(page, cv2.getPerspectiveTransform(corners, there), (w, h), borderValue=140)
    view = cv2.GaussianBlur(view, (0, 0), 1.2)
    return np.clip(view + chance.normal(0, 8, view.shape), 0, 255).astype(np.uint8)


def by_opencv(page):
    family = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    corners, ids, _ = cv2.aruco.ArucoDetector(family, cv2.aruco.DetectorParameters()).detectMarkers(page)
    return [] if ids is None else [(int(i), c.reshape(4, 2)) for i, c in zip(ids.flatten(), corners)]


def by_apriltag(page, detector=Detector(families="tag36h11")):
    return [(int(found.tag_id), found.corners) for found in detector.detect(page)]


def main():
    chance = np.random.default_rng(20261130)
    good = True
    for pdf in sys.argv[1:]:
        pages = rendered(pdf)
        for name, find in (("OpenCV", by_opencv), ("AprilTag", by_apriltag)):
            flat = [find(page) for page in pages]
            ids = [[i for i, _ in found] for found in flat]
            sides = [np.linalg.norm(c - np.roll(c, 1, axis=0), axis=1).mean() * 25.4 / DPI for f in flat for _, c in f]
            views = [[i for i, _ in find(photographed(page, chance))] == [k] for k, page in enumerate(pages) for _ in range(25)]
            good &= ids == [[0], [1], [2], [3]] and max(abs(s - SIDE_MM) for s in sides) < 1.0 and sum(views) >= 95
            print(f"{pathlib.Path(pdf).name}: {name}: ids {ids}, side {min(sides):.1f} to {max(sides):.1f} mm, {sum(views)} of {len(views)} views")
    sys.exit(0 if good else 1)


main()
