"""A small server that answers like the archive, well or badly, for tests without a network."""

import json
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import parse_qs, urlparse

import numpy as np
import pandas as pd

from pvkit.sky.sun import sun_year

FILL = -999.0


def year_of(latitude: float, longitude: float, year: int) -> dict:
    """Invent a year in the archive's format: its sun, under cloud that differs by year and day."""
    draw = np.random.default_rng(year)
    sun = sun_year(latitude, longitude, 50.0)
    up = np.maximum(np.cos(np.radians(sun.solar_zenith)), 0.0) * (sun.solar_zenith < 90)
    hourly = (sun.dni_extra * up).reshape(-1, 2).mean(axis=1)
    clear = np.repeat(draw.uniform(0.1, 0.7, 365), 24)
    ghi = hourly * clear
    dhi = ghi * np.clip(1.1 - clear, 0.2, 1.0)
    cosine = up.reshape(-1, 2).mean(axis=1)
    dni = np.divide(ghi - dhi, cosine, out=np.zeros_like(ghi), where=cosine > 0.05)
    hours = pd.date_range(f"{year}-01-01", f"{year}-12-31 23:00", freq="h")
    leap = np.asarray((hours.month == 2) & (hours.day == 29))
    kept = {"ALLSKY_SFC_SW_DWN": ghi, "ALLSKY_SFC_SW_DNI": dni, "ALLSKY_SFC_SW_DIFF": dhi,
            "T2M": 10 + 8 * np.sin(np.arange(8760) / 8760 * 2 * np.pi - 2),
            "WS10M": np.full(8760, 4.0)}  # fmt: skip
    parameter = {}
    for name, values in kept.items():
        column = np.zeros(len(hours))
        column[~leap] = values
        column[leap] = values[24 * 58 : 24 * 59] if leap.any() else []
        stamps = hours.strftime("%Y%m%d%H")
        parameter[name] = dict(zip(stamps, np.round(column, 2).tolist(), strict=True))
    return {
        "geometry": {"coordinates": [longitude, latitude, 50.0]},
        "properties": {"parameter": parameter},
        "header": {"fill_value": FILL, "time_standard": "UTC"},
        "times": {},
        "parameters": {},
    }


@contextmanager
def archive(how: str = "well") -> Iterator[tuple[str, list[str]]]:
    """Serve years ``well`` or badly; gives the address and the list of what was asked."""
    asked: list[str] = []

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            query = {key: value[0] for key, value in parse_qs(urlparse(self.path).query).items()}
            asked.append(query["start"][:4])
            body = answer(how, query, len(asked))
            if body is None:
                self.send_error(503 if how != "not found" else 404)
                return
            self.send_response(200)
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_: object) -> None:
            return

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/hours", asked
    server.shutdown()
    server.server_close()


def answer(how: str, query: dict[str, str], times: int) -> bytes | None:
    """Make one answer; None for an error."""
    if how in ("not found", "down") or (how == "once down" and times == 1):
        return None
    if how == "slow":
        time.sleep(3)
    if how == "huge":
        return b" " * 3_000_000
    if how == "no text":
        return b"\xff\xfe\x00"
    if how == "a page":
        return b"<html>sorry</html>"
    made = year_of(float(query["latitude"]), float(query["longitude"]), int(query["start"][:4]))
    values = made["properties"]["parameter"]
    if how == "gaps":
        for stamp in list(values["T2M"])[100:120]:
            values["T2M"][stamp] = FILL
    if how == "cut":
        for name in values:
            values[name] = dict(list(values[name].items())[:4000])
    if how == "other format":
        made["properties"] = {"values": values}
    if how == "nonsense":
        values["ALLSKY_SFC_SW_DWN"] = {k: v * 30 for k, v in values["ALLSKY_SFC_SW_DWN"].items()}
    text = json.dumps(made).encode()
    return text[: len(text) // 2] if how == "broken off" else text
