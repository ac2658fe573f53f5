"""The cabin's hours as a loop over NumPy arrays, to be read; the compiled loop must equal it."""

from __future__ import annotations

import numpy as np


def cabin_twin(*, settled_c, start_c, set_c, limit_w, loss_w_k, capacity_wh_k, streams):
    """What `solarsim.power.cabin_loop.step_cabin` gives."""
    keep = np.exp(-loss_w_k / capacity_wh_k)
    per_kelvin_w = loss_w_k / (1.0 - keep)
    temp_c, wanted_w = np.empty_like(settled_c), np.zeros_like(settled_c)
    running = [np.zeros_like(settled_c) for _ in streams]
    # Coolers come before fans and windows.
    order = sorted(range(len(streams)), key=lambda number: streams[number].usable_share is None)
    now_c = start_c
    for hour in range(len(settled_c)):
        closed_c = settled_c[hour] * (1.0 - keep) + keep * now_c
        if limit_w[hour] > 0.0:
            wanted_w[hour] = np.maximum(set_c[hour] - closed_c, 0.0) * per_kelvin_w
            closed_c = closed_c + np.minimum(wanted_w[hour], limit_w[hour]) / per_kelvin_w
        end_c = closed_c
        if closed_c.max() > min(stream.start_c for stream in streams):
            ordered = [(streams[number], running[number]) for number in order]
            end_c = aired(ordered, hour, now_c, closed_c, settled_c[hour], loss_w_k, capacity_wh_k)
        temp_c[hour] = 0.5 * (now_c + end_c)
        now_c = end_c
    return temp_c, np.minimum(wanted_w, limit_w[:, np.newaxis]), wanted_w, running


def aired(ordered, hour, now_c, closed_c, settled_c, loss_w_k, capacity_wh_k):
    """End temperature of an hour with its air streams, whose flow is written beside them."""
    total_w_k, drive_w = loss_w_k, loss_w_k * settled_c
    left = np.ones_like(now_c)
    for stream, flow in ordered:
        share = np.clip((closed_c - stream.start_c) / stream.span_k, 0.0, stream.open_share[hour])
        cools = stream.supply_c[hour] < closed_c
        if stream.usable_share is not None:
            share = share * stream.usable_share[hour] * cools
            left = np.minimum(left, 1.0 - share)
        else:
            share = share * left
        flow[hour] = share
        let_in_w_k = share * stream.conductance_w_k * cools
        total_w_k = total_w_k + let_in_w_k
        drive_w = drive_w + let_in_w_k * stream.supply_c[hour]
    balance_c = drive_w / total_w_k
    end_c = balance_c + (now_c - balance_c) * np.exp(-total_w_k / capacity_wh_k)
    lowest_c = min(stream.start_c for stream, _ in ordered)
    return np.minimum(np.maximum(end_c, lowest_c), closed_c)
