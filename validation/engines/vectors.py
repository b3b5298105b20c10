"""Reads what `cargo run -p biomech --example tree_vectors` writes, and tells how far two vectors are apart."""

import json

import numpy as np


def read(path):
    """The trees (with gravity and joints) and the states of a vectors file."""
    with open(path) as lines:
        head = json.loads(next(lines))
        return head, [json.loads(line) for line in lines]


def symmetric(triangle, n):
    """The full matrix whose lower triangle stands row by row in a list."""
    full = np.zeros((n, n))
    full[np.tril_indices(n)] = triangle
    return full + np.tril(full, -1).T


def apart(ours, theirs, floor=1e-3):
    """Largest relative difference of the entries; an entry smaller than `floor` of the largest of
    its kind is compared with that floor, so that a true zero does not ask for no difference at all."""
    ours, theirs = np.ravel(ours), np.ravel(theirs)
    size = np.maximum(np.abs(theirs), floor * np.max(np.abs(theirs)))
    return float(np.max(np.abs(ours - theirs) / size))
