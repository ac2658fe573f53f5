"""A server on this machine that answers as the service of hourly history is documented to.

The layout is that which pvlib's reader takes apart, with the units, names and faults of the
service's documentation (from memory). It never leaves 127.0.0.1.
"""

from __future__ import annotations

import dataclasses
import gzip
import http.server
import json
import threading
import time
import urllib.parse

import numpy as np
import pandas as pd

from solarsim.weather.years.series import YearSeries

# Answers as bytes, by series, year and fault: a year of hours takes its time to write.
_BODIES: dict[tuple[int, int, str], tuple[YearSeries, bytes]] = {}
UNITS = {
    "ALLSKY_SFC_SW_DWN": "Wh/m^2",
    "ALLSKY_SFC_SW_DNI": "Wh/m^2",
    "ALLSKY_SFC_SW_DIFF": "Wh/m^2",
    "T2M": "C",
    "RH2M": "%",
    "WS10M": "m/s",
    "PRECTOTCORR": "mm/hour",
}
# Longitude, latitude and height of answers that are not of the place that was asked for.
PLACES = {"another place": [13.04, 47.8, 424.0], "no place": None, "nowhere": [float("nan")] * 3}


@dataclasses.dataclass
class StandIn:
    """Answers with a year of `series`, darkened by the year; `faults` come first, one a request."""

    series: YearSeries
    faults: list[str] = dataclasses.field(default_factory=list)
    asked: list[dict[str, str]] = dataclasses.field(default_factory=list)
    url: str = ""

    def light_factor(self, year: int) -> float:
        return 1.0 - 0.05 * (year % 5)

    def document(self, year: int, fault: str = "") -> dict:
        hours = pd.date_range(f"{year}-01-01", f"{year + 1}-01-01", freq="h", tz="UTC")[:-1]
        local = hours.tz_convert(self.series.times.tz)
        day = np.where((local.month == 2) & (local.day == 29), 59, local.day_of_year)
        late = local.is_leap_year & (local.day_of_year > 60)
        at = ((day - late - 1) * 24 + local.hour) % 8760
        factor = self.light_factor(year)
        values = {
            "ALLSKY_SFC_SW_DWN": factor * self.series.ghi_w_m2[at],
            "ALLSKY_SFC_SW_DNI": factor * self.series.dni_w_m2[at],
            "ALLSKY_SFC_SW_DIFF": factor * self.series.dhi_w_m2[at],
            "T2M": self.series.temp_air_c[at],
            "RH2M": 100.0 * self.series.relative_humidity[at],
            "WS10M": self.series.wind_speed_m_s[at],
            "PRECTOTCORR": np.zeros(len(at)),
        }
        if fault == "gap":
            values["ALLSKY_SFC_SW_DWN"][4000:4002] = -999.0
        if fault == "long gap":
            values["T2M"][4000:4100] = -999.0
        if fault == "not yet over":
            for array in values.values():
                array[7000:] = -999.0
        if fault == "dark to its end":
            values["ALLSKY_SFC_SW_DWN"][8000:] = -999.0
        if fault == "negative":
            values["ALLSKY_SFC_SW_DWN"][4000] = -40.0
        if fault == "absurd":
            values["ALLSKY_SFC_SW_DWN"][4000] = 5000.0
        if fault == "endless":
            values["T2M"][4000] = np.inf
        if fault == "no light":
            values["ALLSKY_SFC_SW_DWN"][:] = 0.0
        names = hours.strftime("%Y%m%d%H")
        if fault == "half a year":
            names = names[:4000]
        parameter = {
            name: dict(zip(names, np.round(array, 2).tolist(), strict=False))
            for name, array in values.items()
        }
        units = dict(UNITS)
        if fault == "wrong units":
            units["ALLSKY_SFC_SW_DWN"] = "MJ/hr"
        return {
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": PLACES.get(fault, [-79.95, 36.1, 373.0])},
            "properties": {"parameter": parameter},
            "header": {
                "title": "hourly data",
                "fill_value": -999.0,
                "time_standard": "LST" if fault == "local clock" else "UTC",
                "start": f"{year}0101",
                "end": f"{year}1231",
            },
            "messages": [],
            "parameters": {name: {"units": unit, "longname": name} for name, unit in units.items()},
            "times": {"data": 0.1, "process": 0.1},
        }

    def body(self, year: int, fault: str) -> bytes:
        key = (id(self.series), year, fault)
        if key not in _BODIES:
            # Held with its series, so that no other one takes its id.
            _BODIES[key] = self.series, json.dumps(self.document(year, fault)).encode()
        return _BODIES[key][1]

    def __enter__(self) -> StandIn:
        stand_in = self

        class Handler(http.server.BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                query = dict(urllib.parse.parse_qsl(urllib.parse.urlsplit(self.path).query))
                stand_in.asked.append(query)
                fault = stand_in.faults.pop(0) if stand_in.faults else ""
                year = int(query["start"][:4])
                code = {"429": 429, "500": 500, "500 page": 500, "away": 302, "along": 302}.get(
                    fault, 200
                )
                packed = fault in {"packed", "bomb", "oddly packed"}
                if fault == "bomb":
                    body = gzip.compress(bytes(60_000_000), 1)
                elif fault == "large":
                    body = b" " * 21_000_000
                elif fault == "nested":
                    body = b"[" * 1_000_000
                elif packed:
                    body = gzip.compress(stand_in.body(year, ""), 1)
                elif fault == "500 page":
                    body = b"<html>broken</html>"
                elif code != 200:
                    # In the words of the question, as services do.
                    body = json.dumps({"messages": [f"not for {self.path[:200]}"]}).encode()
                else:
                    body = stand_in.body(year, fault)
                if fault == "slow":
                    time.sleep(1.5)
                length = len(body)
                if fault == "cut":
                    body = body[:1000]
                if fault == "truncated":
                    body = body[: length // 2]
                    length = len(body)
                try:
                    self.send_response(code)
                    self.send_header("Content-Type", "application/json")
                    if code == 302:
                        host = "localhost" if fault == "away" else "127.0.0.1"
                        port = stand_in.url.split(":")[2].split("/")[0]
                        self.send_header("Location", f"http://{host}:{port}{self.path}")
                    if packed:
                        kind = "br" if fault == "oddly packed" else "gzip"
                        self.send_header("Content-Encoding", kind)
                    self.send_header("Content-Length", str(length))
                    self.end_headers()
                    if fault == "trickle":
                        for at in range(100):
                            self.wfile.write(body[at : at + 1])
                            time.sleep(0.05)
                    self.wfile.write(body)
                except OSError:
                    # Whoever asked has gone.
                    return

            def log_message(self, *_: object) -> None:
                return

        self._server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self._server.daemon_threads = True
        self.url = f"http://127.0.0.1:{self._server.server_address[1]}/hourly"
        serve = self._server.serve_forever
        threading.Thread(target=serve, args=(0.02,), daemon=True).start()
        return self

    def __exit__(self, *_: object) -> None:
        self._server.shutdown()
        self._server.server_close()
