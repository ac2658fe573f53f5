"""Every way to fill a small roof of whole cells, tried out: the oracle of the roof search."""

from __future__ import annotations

import functools


def most_watts(length, width, blocks, kinds, *, gap=0, margin=0):
    """Power of the best layout, all in whole cells.

    `blocks` are (x0, y0, x1, y1); `kinds` (length, width, watts), one for each way round. As all
    lengths are whole, a best layout can be pushed to whole positions.
    """
    row = width + gap

    def is_free(x, y):
        inside = margin <= x < length - margin and margin <= y < width - margin
        return inside and not any(b[0] <= x < b[2] and b[1] <= y < b[3] for b in blocks)

    places = {}
    for x in range(length):
        for y in range(width):
            for along, across, watts in kinds:
                cells = [(i, j) for i in range(x, x + along) for j in range(y, y + across)]
                if x + along > length or y + across > width or not all(is_free(*c) for c in cells):
                    continue
                taken = 0
                for i in range(x, x + along + gap):
                    for j in range(y, y + across + gap):
                        taken |= 1 << (i * row + j)
                places.setdefault(x * row + y, []).append((taken, watts))
    order = sorted(places)

    @functools.cache
    def best(index, taken):
        if index == len(order):
            return 0
        # Cells before this one play no part any more.
        ahead = taken >> order[index] << order[index]
        most = best(index + 1, ahead)
        for cells, watts in places[order[index]]:
            if not cells & ahead:
                most = max(most, watts + best(index + 1, ahead | cells))
        return most

    return best(0, 0)
