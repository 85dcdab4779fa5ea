"""A small client for Chromium's remote protocol: opens a page without a display, taps, pinches, types, looks, prints.

Needs websocket-client from PyPI and an installed chromium.
"""

import base64
import json
import pathlib
import shutil
import subprocess
import tempfile
import time
import urllib.request

import websocket

PHONE = {"width": 390, "height": 844, "deviceScaleFactor": 2, "mobile": True}


class Browser:
    """One page in one browser; closes with its `with` block."""

    def __init__(self, program):
        self.home = tempfile.mkdtemp()
        self.process = subprocess.Popen(
            [program, "--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
             "--disable-component-update", "--remote-debugging-port=0", f"--user-data-dir={self.home}", "about:blank"],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )
        port = pathlib.Path(self.home, "DevToolsActivePort")
        for _ in range(300):
            if port.exists() and port.read_text().strip():
                break
            time.sleep(0.1)
        self.port = port.read_text().split()[0]
        pages = json.load(urllib.request.urlopen(f"http://127.0.0.1:{self.port}/json/list"))
        page = next(p for p in pages if p["type"] == "page")
        self.socket = websocket.create_connection(page["webSocketDebuggerUrl"], suppress_origin=True, timeout=60)
        self.last, self.requests, self.errors, self.loaded = 0, [], [], False
        for domain in ("Page", "Runtime", "Network", "Log"):
            self.send(f"{domain}.enable")

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.socket.close()
        self.process.terminate()
        self.process.wait(timeout=20)
        shutil.rmtree(self.home, ignore_errors=True)

    def _event(self, message):
        method, params = message.get("method"), message.get("params", {})
        if method == "Network.requestWillBeSent":
            self.requests.append(params["request"]["url"])
        elif method == "Runtime.exceptionThrown":
            self.errors.append(params["exceptionDetails"].get("exception", params["exceptionDetails"]))
        elif method == "Log.entryAdded" and params["entry"]["level"] == "error":
            self.errors.append(params["entry"]["text"])
        elif method == "Page.loadEventFired":
            self.loaded = True

    def send(self, method, **params):
        """Sends a command and gives its result; events on the way are noted."""
        self.last += 1
        self.socket.send(json.dumps({"id": self.last, "method": method, "params": params}))
        while True:
            message = json.loads(self.socket.recv())
            if message.get("id") == self.last:
                assert "error" not in message, (method, message["error"])
                return message["result"]
            self._event(message)

    def open(self, path, phone=True):
        if phone:
            self.send("Emulation.setDeviceMetricsOverride", **PHONE)
            self.send("Emulation.setTouchEmulationEnabled", enabled=True, maxTouchPoints=2)
        self.loaded = False
        self.send("Page.navigate", url=pathlib.Path(path).absolute().as_uri())
        while not self.loaded:
            self._event(json.loads(self.socket.recv()))

    def run(self, script):
        """The value of an expression in the page."""
        out = self.send("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in out, (script, out["exceptionDetails"])
        return out["result"].get("value")

    def touch(self, kind, *points):
        self.send("Input.dispatchTouchEvent", type=kind,
                  touchPoints=[{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(points)])

    def tap(self, x, y):
        self.touch("touchStart", (x, y))
        self.touch("touchEnd")

    def pinch(self, x, y, start, end, upright=False):
        """Two fingers around a point, from one distance to the other, beside or above each other."""
        for step in range(9):
            half = (start + (end - start) * step / 8) / 2
            dx, dy = (0, half) if upright else (half, 0)
            self.touch("touchMove" if step else "touchStart", (x - dx, y - dy), (x + dx, y + dy))
        self.touch("touchEnd")

    def key(self, name):
        for kind in ("keyDown", "keyUp"):
            text = {"text": "\r"} if name == "Enter" and kind == "keyDown" else {}
            code = {"Enter": 13, "Escape": 27, "Tab": 9}[name]
            self.send("Input.dispatchKeyEvent", type=kind, key=name, code=name, windowsVirtualKeyCode=code, **text)

    def scheme(self, name):
        self.send("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": name}])

    def picture(self, path):
        pathlib.Path(path).write_bytes(base64.b64decode(self.send("Page.captureScreenshot", format="png")["data"]))

    def print(self, path):
        done = self.send("Page.printToPDF", printBackground=False, preferCSSPageSize=True)
        pathlib.Path(path).write_bytes(base64.b64decode(done["data"]))
