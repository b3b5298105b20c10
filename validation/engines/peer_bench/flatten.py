"""Writes one tree and its states in forms that the timed programs read without a JSON library.

python flatten.py VECTORS FOLDER writes tree.txt (numbers in the order that peers.cpp reads),
states.txt (q, v, a a line) and tree.xml for the tree with the most loads.
"""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import vectors  # noqa: E402
import with_mujoco  # noqa: E402

WHICH = 2


def main(source, folder):
    head, states = vectors.read(source)
    tree, folder = head["trees"][WHICH], Path(folder)
    lines = [f"{len(tree['segments'])} {len(head['joints'])}"]
    for segment in tree["segments"]:
        parent = -1 if segment["parent"] is None else segment["parent"]
        inertia = [x for row in segment["inertia"] for x in row]
        numbers = [*segment["offset"], segment["mass"], *segment["centre"], *inertia]
        lines.append(f"{parent} " + with_mujoco.numbers(numbers))
    for joint in head["joints"]:
        lines.append(f"{joint['segment']} {int(joint['slides'])} " + with_mujoco.numbers(joint["axis"]))
    (folder / "tree.txt").write_text("\n".join(lines) + "\n")
    chosen = [s for s in states if s["tree"] == WHICH]
    rows = [with_mujoco.numbers(s["q"] + s["v"] + s["a"]) for s in chosen]
    (folder / "states.txt").write_text("\n".join(rows) + "\n")
    (folder / "tree.xml").write_text(with_mujoco.description(head, tree))
    print(f"{tree['name']}: {len(chosen)} states")


main(*sys.argv[1:3])
