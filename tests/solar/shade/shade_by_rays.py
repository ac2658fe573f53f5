"""Shade of flat panels by casting rays: written apart from the geometry that it is held against."""

import numpy as np


def shaded_points(panel, boxes, azimuth_deg, elevation_deg, per_m=60):
    """Which of an even grid of points on a flat panel a box hides from the sun, ``(x, y)``."""
    nx = max(int(panel.length_m * per_m), 1)
    ny = max(int(panel.width_m * per_m), 1)
    x = panel.x_m + (np.arange(nx) + 0.5) / nx * panel.length_m
    y = panel.y_m + (np.arange(ny) + 0.5) / ny * panel.width_m
    az, el = np.radians(azimuth_deg), np.radians(elevation_deg)
    ray = np.array([np.cos(el) * np.cos(az), np.cos(el) * np.sin(az), np.sin(el)])
    start = np.stack([*np.meshgrid(x, y, indexing="ij"), np.full((nx, ny), panel.z_m)], axis=-1)
    hit = np.zeros((nx, ny), bool)
    for box in boxes:
        low = np.array([box.x_m, box.y_m, 0.0])
        high = low + np.array([box.length_m, box.width_m, box.height_m])
        enter, leave = np.zeros((nx, ny)), np.full((nx, ny), np.inf)
        for axis in range(3):
            if abs(ray[axis]) < 1e-12:
                outside = (start[..., axis] < low[axis]) | (start[..., axis] > high[axis])
                leave = np.where(outside, -1.0, leave)
                continue
            to_low = (low[axis] - start[..., axis]) / ray[axis]
            to_high = (high[axis] - start[..., axis]) / ray[axis]
            enter = np.maximum(enter, np.minimum(to_low, to_high))
            leave = np.minimum(leave, np.maximum(to_low, to_high))
        hit |= leave > enter
    return hit
