"""Who a live server answers, how much it lets in, and what it tells browsers."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from live_served import HOST, PORT, TOKEN, Page, sentence_of, served
from starlette.testclient import TestClient

from turnstill.scenes.live.messages import LARGEST_MESSAGE
from turnstill.scenes.live.safety import Door, Guarded, Limits, is_loopback
from turnstill.scenes.live.studio import Studio

SWING = {"values": {}, "drawn": False}
OWN = f"http://{HOST}:{PORT}"


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Page]:
    with served(tmp_path, studio=Studio(moments=2)) as page:
        yield page


@pytest.mark.parametrize("path", ["/", "", "//", "/x/", "/a-token-of-test/", f"/{TOKEN}x/", f"/x/{TOKEN}/", "/swing",
                                  f"/{TOKEN.upper()}/", "/é/", "/%00/", f"//{TOKEN}/"])  # fmt: skip
def test_without_the_token_there_is_nothing(page: Page, path: str) -> None:
    for answer in (page.client.get(path), page.client.post(path, json=SWING)):
        assert TOKEN not in sentence_of(answer, 404)


OTHERS = (
    "example.org", f"example.org:{PORT}", "127.0.0.1", "127.0.0.1:1", f"127.0.0.2:{PORT}",
    f"127.0.0.1.example.org:{PORT}", f"192.168.1.5:{PORT}", "", ":", f"localhost.:{PORT}",
    f"127.0.0.1:{PORT}@example.org", f"127.0.0.1:0{PORT}0", "127.0.0.1:٨٤٢١",
)  # fmt: skip


@pytest.mark.parametrize("host", OTHERS)
def test_another_host_is_not_answered(page: Page, host: str) -> None:
    for answer in (page.client.get(f"/{TOKEN}/", headers={"host": host.encode()}),
                   page.post("swing", SWING, host=host.encode())):  # fmt: skip
        assert "own address" in sentence_of(answer, 403)


@pytest.mark.parametrize("host", [f"localhost:{PORT}", f"LOCALHOST:{PORT}", f"[::1]:{PORT}"])
def test_this_computer_has_several_names(page: Page, host: str) -> None:
    assert page.client.get(f"/{TOKEN}/", headers={"host": host}).status_code == 200
    assert page.post("swing", SWING, host=host, origin=f"http://{host}").status_code == 200
    assert page.post("swing", SWING, host=host, origin=OWN).status_code == 403


@pytest.mark.parametrize("origin", ["http://example.org", "null", "", f"https://{HOST}:{PORT}", f"http://{HOST}",
                                    f"{OWN}.example.org", f"{OWN}/", "file://"])  # fmt: skip
def test_a_page_from_elsewhere_is_not_answered(page: Page, origin: str) -> None:
    for what in ("swing", "figure", "save"):
        assert "elsewhere" in page.refused(what, SWING, 403, origin=origin)
    assert page.client.get(f"/{TOKEN}/", headers={"origin": origin}).status_code == 403


def test_what_browsers_say_of_the_asking_page_is_believed(page: Page) -> None:
    for site, status in (("same-origin", 200), ("none", 200), ("cross-site", 403), ("same-site", 403)):
        assert page.post("swing", SWING, **{"sec-fetch-site": site}).status_code == status
    # Somebody follows a link to the page.
    assert page.client.get(f"/{TOKEN}/", headers={"sec-fetch-site": "cross-site"}).status_code == 200


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", "",
                                  "application/jsonx", "text/json", "application/json/x"])  # fmt: skip
def test_messages_are_json(page: Page, kind: str) -> None:
    assert "application/json" in page.refused("swing", SWING, 415, **{"content-type": kind})
    assert page.post("swing", SWING, **{"content-type": "Application/JSON; charset=utf-8"}).status_code == 200


def test_a_message_is_no_larger_than_it_may_be(page: Page) -> None:
    just = b" " * (LARGEST_MESSAGE - 2) + b"{}"
    assert page.post("swing", just).status_code == 200
    assert str(LARGEST_MESSAGE) in page.refused("swing", b" " + just, 413)

    def parts() -> Iterator[bytes]:
        for _ in range(2 * LARGEST_MESSAGE // 1000):
            yield b" " * 1000

    # Told in parts, no length is known beforehand.
    headers = {"content-type": "application/json"}
    sentence_of(page.client.post(f"/{TOKEN}/swing", content=parts(), headers=headers), 413)
    for told in ("9" * 30, "-1", "x", "٣"):
        answer = page.post("swing", SWING, **{"content-length": told.encode()})  # type: ignore[arg-type]
        assert answer.status_code in (200, 413)


def test_every_answer_says_what_a_browser_may_do_with_it(page: Page) -> None:
    html = page.client.get(f"/{TOKEN}/")
    answers = [html, page.post("swing", SWING), page.post("swing", b"x"), page.client.get("/"), page.post("x", SWING)]
    assert [one.status_code for one in answers] == [200, 200, 400, 404, 404]
    for answer in answers:
        told = answer.headers
        assert told["cache-control"] == "no-store" and told["x-content-type-options"] == "nosniff"
        assert told["referrer-policy"] == "no-referrer" and told["x-frame-options"] == "DENY"
        policy = told.get_list("content-security-policy")
        assert len(policy) == 1 and "default-src 'none'" in policy[0] and "frame-ancestors 'none'" in policy[0]
        assert "access-control-allow-origin" not in told and "server" not in told and "set-cookie" not in told
    parts = html.headers["content-security-policy"].split("; ")
    assert "connect-src 'self'" in parts and "form-action 'none'" in parts and "img-src data:" in parts
    (scripts,) = (part for part in parts if part.startswith("script-src"))
    assert scripts.split()[1].startswith("'sha256-") and "unsafe" not in scripts
    # What stands in the page says the same, or the stricter of the two would stop it.
    assert html.headers["content-security-policy"].removesuffix("; frame-ancestors 'none'") in html.text.replace(
        "&#39;", "'"
    )
    # The name of SVG's elements is no place to fetch anything from.
    text = html.text.replace('"http://www.w3.org/2000/svg"', "")
    assert "http://" not in text and "https://" not in text and " src=" not in text


def test_only_what_is_there_can_be_asked(page: Page) -> None:
    for method, path, status in (("GET", "swing", 405), ("POST", "", 405), ("PUT", "swing", 405), ("GET", "x", 404),
                                 ("DELETE", "save", 405), ("GET", "../", 404), ("GET", "page.js", 404)):  # fmt: skip
        answer = page.client.request(method, f"/{TOKEN}/{path}", headers={"content-type": "application/json"})
        assert answer.status_code == status, (method, path)
        if method != "HEAD":
            sentence_of(answer, status)


class Clock:
    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def test_no_more_is_answered_than_a_page_needs(tmp_path: Path) -> None:
    clock = Clock()
    with served(tmp_path, limits=Limits(a_second=10.0, burst=5, clock=clock), studio=Studio(moments=2)) as page:
        assert [page.post("swing", SWING).status_code for _ in range(7)] == [200] * 5 + [429] * 2
        clock.now += 0.25
        assert [page.post("swing", SWING).status_code for _ in range(4)] == [200] * 2 + [429] * 2
        clock.now += 1e6
        assert [page.client.get(f"/{TOKEN}/").status_code for _ in range(6)] == [200] * 5 + [429]
        # Who does not know the address uses up nothing of it.
        clock.now += 0.25
        assert [page.client.get("/").status_code for _ in range(9)] == [404] * 9
        assert page.post("swing", SWING).status_code == 200


def test_a_few_at_most_wait_at_once_and_none_for_ever() -> None:
    async def forever(scope: Any, receive: Any, send: Any) -> None:
        await receive()
        await asyncio.sleep(0.2)
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": b""})

    guarded = Guarded(forever, Door(TOKEN, HOST, PORT), Limits(at_once=3, patience=0.05))
    headers = [(b"host", f"{HOST}:{PORT}".encode()), (b"content-type", b"application/json")]

    async def ask(*, whole: bool = True) -> int:
        statuses: list[int] = []

        async def receive() -> Any:
            if not whole:
                await asyncio.sleep(10.0)
            return {"type": "http.request", "body": b"{}", "more_body": False}

        async def send(message: Any) -> None:
            statuses.append(message.get("status", 0))

        scope = {"type": "http", "method": "POST", "path": f"/{TOKEN}/swing", "headers": headers}
        await guarded(scope, receive, send)
        return statuses[0]

    async def everybody() -> list[int]:
        return [*await asyncio.gather(*(ask() for _ in range(5))), await ask(whole=False), await ask()]

    assert asyncio.run(everybody()) == [200, 200, 200, 429, 429, 408, 200]


@pytest.mark.parametrize(("host", "loopback"), [
    ("127.0.0.1", True), ("localhost", True), ("::1", True), ("127.1.2.3", True), ("0.0.0.0", False), ("::", False),
    ("192.168.1.5", False), ("example.org", False), ("", False),
])  # fmt: skip
def test_what_only_this_computer_can_reach(host: str, loopback: bool) -> None:
    assert is_loopback(host) is loopback


def test_a_server_for_the_network_answers_to_addresses_and_to_no_name_of_others() -> None:
    door = Door(TOKEN, "0.0.0.0", PORT)
    assert (
        door.is_ours(f"192.168.1.5:{PORT}") and door.is_ours(f"localhost:{PORT}") and door.is_ours(f"[fe80::1]:{PORT}")
    )
    assert not door.is_ours(f"example.org:{PORT}") and not door.is_ours("192.168.1.5")
    named = Door(TOKEN, "office.example.org", 80)
    assert named.is_ours("office.example.org") and not named.is_ours("other.example.org")


def test_tokens_cannot_be_guessed() -> None:
    tokens = {Door.new(HOST, PORT).token for _ in range(50)}
    assert len(tokens) == 50 and all(len(token) >= 24 and token.isascii() for token in tokens)


def test_a_fault_is_told_in_a_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    class Broken(Studio):
        def swing(self, message: Any) -> bytes:
            raise ZeroDivisionError("by a test")

    with served(tmp_path, studio=Broken()) as page:
        sentence = page.refused("swing", SWING, 500)
    assert "fault of turnstill" in sentence and "ZeroDivisionError" in sentence
    assert capsys.readouterr().err.count("\n") == 1


def test_two_pages_ask_at_once_and_get_their_own(tmp_path: Path) -> None:
    from concurrent.futures import ThreadPoolExecutor

    with served(tmp_path, studio=Studio(moments=2)) as page, ThreadPoolExecutor(4) as pool:
        told = list(pool.map(lambda turn: page.swing({"pieces": {"hip_turn_deg": turn}}, name=f"of {turn}"),
                             range(30, 50)))  # fmt: skip
    assert [one["asked"]["hip_turn_deg"] for one in told] == list(range(30, 50))
    assert [one["name"] for one in told] == [f"of {turn}" for turn in range(30, 50)]
    assert isinstance(page.client, TestClient)
