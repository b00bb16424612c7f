"""The live page's server: whom it refuses, what it gives, how it bears a hard hand."""

import asyncio
import http.client
import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from statistics import median
from typing import Any

import pytest

from sim.commands.app import run_command
from sim.show.tinker.answer import make_bench
from sim.show.tinker.guard import LARGEST_BODY
from sim.show.tinker.server import PAGE, listen
from tests.tinker import STATION, THRUST, bench, question, say, scenario_file, serving


@pytest.fixture(scope="module")
def port() -> Iterator[int]:
    with serving(bench()) as started:
        yield started


def test_it_listens_on_this_machine_alone() -> None:
    listening = listen(0)
    assert listening.getsockname()[0] == "127.0.0.1"
    listening.close()


def test_the_body_of_an_answer_does_not_wait_for_its_head(port: int) -> None:
    """Each time some 40 ms, where the socket holds back small pieces until all is acknowledged."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=30.0)
    taken = []
    for number in range(8):
        headers = {"Content-Type": "application/json"}
        line.request("POST", "/answer", question(number, "waits", nothing="1"), headers)
        reply = line.getresponse()
        start = time.perf_counter()
        assert b"problems" in reply.read()
        taken.append(time.perf_counter() - start)
    line.close()
    assert median(taken) < 0.03


@pytest.mark.parametrize(
    "host",
    ["elsewhere.example", "127.0.0.1", "127.0.0.1:1", "localhost.example:{}", "0.0.0.0:{}", ""],
)
def test_another_host_is_refused(port: int, host: str) -> None:
    for path, body in (("/", None), ("/answer", question(1))):
        status, words = say(port, path, body, {"Host": host.format(port)})
        assert status == 403 or (status == 400 and not host)
        assert b"aeroplane" not in words


@pytest.mark.parametrize("host", ["127.0.0.1:{}", "localhost:{}"])
def test_its_own_host_is_served(port: int, host: str) -> None:
    assert say(port, "/", None, {"Host": host.format(port)})[0] == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://elsewhere.example"},
        {"Origin": "null"},
        {"Origin": "https://127.0.0.1:{}"},
        {"Origin": "http://127.0.0.1:1"},
        {"Origin": "http://127.0.0.1:{}.elsewhere.example"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_another_page_is_refused(port: int, headers: dict[str, str]) -> None:
    asked = {name: value.format(port) for name, value in headers.items()}
    assert say(port, "/answer", question(1, "x"), asked)[0] == 403
    assert say(port, "/save", b'{"name":"x.toml","state":{}}', asked)[0] == 403
    assert say(port, "/opening", None, asked)[0] == 403


def test_its_own_page_is_answered(port: int) -> None:
    own = {"Origin": f"http://127.0.0.1:{port}", "Sec-Fetch-Site": "same-origin"}
    status, body = say(port, "/answer", question(1, "own"), own)
    assert status == 200 and json.loads(body)["story"]["verdict"] == "airborne"


def test_an_over_long_message_is_refused_before_it_is_read(port: int) -> None:
    assert say(port, "/answer", b" " * (LARGEST_BODY + 1))[0] == 413
    with socket.create_connection(("127.0.0.1", port), timeout=5.0) as line:
        head = (
            f"POST /answer HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Type: application/json\r\n"
        )
        line.sendall(f"{head}Content-Length: 99999999999999\r\n\r\n".encode())
        assert b" 413 " in line.recv(200)


def test_a_message_without_its_length_is_refused(port: int) -> None:
    with socket.create_connection(("127.0.0.1", port), timeout=5.0) as line:
        head = (
            f"POST /answer HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Type: application/json\r\n"
        )
        line.sendall(f"{head}Transfer-Encoding: chunked\r\n\r\n5\r\n     \r\n".encode())
        assert b" 411 " in line.recv(200)


@pytest.mark.parametrize(
    "body",
    [
        b"", b"{", b"[]", b"null", b"\xff\xfe", b"{}", b"[" * 10_000, b'{"tab":"a","number":NaN}',
        b'{"tab":"a","number":1,"state":{"values":{}},"more":1}',
        b'{"tab":"../..","number":1,"state":{}}', b'{"tab":"a","number":"1","state":{}}',
        b'{"tab":"a","number":1,"state":{"values":{"a":{"b":1}}}}',
    ],
)  # fmt: skip
def test_a_malformed_message_is_refused(port: int, body: bytes) -> None:
    status, words = say(port, "/answer", body)
    assert status == 400 and len(words) < 200
    assert say(port, "/window", body)[0] == 400 and say(port, "/save", body)[0] == 400


def test_a_form_s_message_is_refused(port: int) -> None:
    assert say(port, "/answer", question(9, "f"), {"Content-Type": "text/plain"})[0] == 415


@pytest.mark.parametrize(
    "path",
    ["/..", "/../../etc/passwd", "/page/../server.py", "/page/%2e%2e/server.py", "/replay/build.py",
     "/page/..%2fserver.py", "//etc/passwd", "/page/", "/meadow-jet.toml", "/page/start.js/x",
     "/replay/..\\build.py", "/page/start.js%00.py"],
)  # fmt: skip
def test_no_other_file_is_given(port: int, path: str) -> None:
    assert say(port, path)[0] in (404, 400)


def test_every_module_there_is_is_given(port: int) -> None:
    here = Path(sys.modules["sim.show.tinker.server"].__file__ or "").parent / "page"
    assert {file.name for file in here.glob("*.js")} == set(PAGE)
    for name in PAGE:
        status, text = say(port, f"/page/{name}")
        assert status == 200 and text == (here / name).read_bytes()
        assert not re.search(rb"innerHTML|outerHTML|insertAdjacent|document\.write|\beval\b", text)
        for wanted in re.findall(rb'from "\./([\w.]+)"', text):
            assert say(port, f"/page/{wanted.decode()}")[0] == 200
        for wanted in re.findall(rb'from "\.\./replay/([\w.]+)"', text):
            assert say(port, f"/replay/{wanted.decode()}")[0] == 200


def test_every_answer_carries_the_policy(port: int) -> None:
    for path in ("/", "/page/start.js", "/nothing"):
        asked = urllib.request.Request(f"http://127.0.0.1:{port}{path}")
        try:
            with urllib.request.urlopen(asked) as reply:
                headers = reply.headers
        except urllib.error.HTTPError as wrong:
            headers = wrong.headers
        policy = headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy and "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy and "*" not in policy
        assert headers["X-Content-Type-Options"] == "nosniff"


def test_only_a_plain_name_beside_the_scenario_is_written(tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    folder.mkdir()
    mine = make_bench(str(scenario_file(folder)))
    state = {"values": {THRUST: "23 N"}, "changes": []}
    with serving(mine) as started:

        def save(name: str) -> tuple[int, dict[str, str]]:
            status, body = say(
                started, "/save", json.dumps({"name": name, "state": state}).encode()
            )
            return status, json.loads(body)

        assert save("../up.toml")[0] == 409
        assert save("stronger.toml") == (200, {"file": "stronger.toml"})
        status, words = save("stronger.toml")
        assert status == 409 and "there already" in words["problem"]
    assert {path.name for path in tmp_path.rglob("*.toml")} == {"mine.toml", "stronger.toml"}


def memory() -> float:
    """Resident memory of this process [MB]."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


async def posted(port: int, body: bytes) -> tuple[int, bytes]:
    """Status and body of one message on a line of its own."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    head = f"POST /answer HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n"
    kind = f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n"
    writer.write(head.encode() + kind.encode() + body)
    reply = await reader.read()
    writer.close()
    top, _, rest = reply.partition(b"\r\n\r\n")
    return int(top.split()[1]), rest


def test_five_hundred_messages_get_few_answers_the_last_one_right(port: int) -> None:
    """A slider dragged hard by a page that does not wait: no backlog, memory flat."""

    async def burst(tab: str, count: int = 500) -> list[tuple[int, bytes]]:
        gate = asyncio.Semaphore(100)

        async def one(number: int) -> tuple[int, bytes]:
            async with gate:
                body = question(number, tab, **{"power__static_thrust": f"{21 + number / 100} N"})
                return await posted(port, body)

        return await asyncio.gather(*(one(number) for number in range(count)))

    asyncio.run(burst("warm", 60))
    before = memory()
    found = asyncio.run(burst("hard"))
    answers = [json.loads(body) for status, body in found if status == 200]
    assert {status for status, _ in found} == {200, 204}
    assert 1 <= len(answers) < 50
    assert found[-1][0] == 200
    assert answers[-1]["places"][THRUST] == pytest.approx(25.99)
    assert memory() - before < 30.0


def test_two_pages_are_both_answered(port: int) -> None:
    async def both() -> list[tuple[int, bytes]]:
        asked = [
            posted(port, question(n, tab, **{"air__headwind": f"{n} m/s"}))
            for n in (1, 2, 3)
            for tab in ("left", "right")
        ]
        return await asyncio.gather(*asked)

    found = asyncio.run(both())
    places = [json.loads(b)["places"]["air.headwind"] for s, b in found if s == 200]
    assert places.count(3.0) == 2


def test_a_wrong_value_is_told_with_its_key(port: int) -> None:
    body = question(1, "wrong", **{STATION.replace(".", "__"): "wide"})
    status, words = say(port, "/answer", body)
    assert status == 200
    assert json.loads(words)["problems"][0]["key"] == STATION


@pytest.mark.parametrize("name", ["starlette", "uvicorn"])
def test_without_the_extra_it_says_what_to_install(name: str) -> None:
    code = (
        f"import sys; sys.modules[{name!r}] = None; from sim.cli import main;"
        " sys.exit(main(['tinker', 'meadow-jet']))"
    )
    words = [sys.executable, "-c", code]
    done = subprocess.run(words, capture_output=True, text=True, timeout=30.0, check=False)
    assert done.returncode == 2 and not done.stdout
    assert "pip install 'wheelsoff[live]'" in done.stderr and name in done.stderr


def test_a_port_that_is_taken_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    taken = listen(0)
    number = taken.getsockname()[1]
    assert run_command(["tinker", "meadow-jet", "--no-browser", "--port", str(number)]) == 2
    taken.close()
    assert f"port {number} cannot be used" in capsys.readouterr().err


def test_a_bad_scenario_is_told_before_anything_is_served(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run_command(["tinker", "no-such-jet"]) == 2
    assert "no-such-jet" in capsys.readouterr().err


def test_ctrl_c_ends_it_cleanly() -> None:
    words = [sys.executable, "-m", "sim.cli", "tinker", "meadow-jet", "--no-browser", "--port", "0"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as run:
        assert run.stdout is not None
        found: Any = re.search(r"http://127\.0\.0\.1:(\d+)/", run.stdout.readline())
        port = int(found[1])
        assert say(port, "/answer", question(1))[0] == 200
        # a gear window is being looked for, and somebody waits for it
        with socket.create_connection(("127.0.0.1", port)) as line:
            body = question(2)
            head = (
                f"POST /window HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Type: application/json"
            )
            line.sendall(f"{head}\r\nContent-Length: {len(body)}\r\n\r\n".encode() + body)
            assert say(port, "/opening")[0] == 200
            run.send_signal(signal.SIGINT)
            said = run.communicate(timeout=20.0)[1]
    assert run.returncode == 0
    assert said == "The page is closed.\n"
