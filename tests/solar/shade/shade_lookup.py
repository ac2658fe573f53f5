"""The shaded share of every bypass group under given suns, read from a table of shade."""

import numpy as np

from solarsim.solar.shade.grid import at_suns


def shade_lookup(table, zenith_deg, sun_azimuth_deg, heading_deg=None):
    """``(panels, groups, ...)`` with the sun's shape, bilinear; 0 where the sun is down.

    The heading is that of the van's front, clockwise from north; None gives the mean over all.
    """
    values = table.group_share
    if heading_deg is None:
        values = values.mean(axis=2, keepdims=True)
    zenith, azimuth = np.broadcast_arrays(zenith_deg, sun_azimuth_deg)
    shares = at_suns(
        np.moveaxis(values, (0, 1), (2, 3)), table.elevation_deg, zenith, azimuth, heading_deg
    )
    return np.moveaxis(shares * (zenith < 90.0)[..., np.newaxis, np.newaxis], (-2, -1), (0, 1))
