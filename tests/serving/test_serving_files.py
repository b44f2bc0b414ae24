"""Files the application authorised leave from ASGI; ranges after RFC 9110, section 14."""

import hashlib
import os
import sys
from contextlib import ExitStack
from pathlib import Path

import pytest
from hostile import never_reading

BIG = 30_000_000


@pytest.fixture(scope="module")
def photo(server):
    """Thirty megabytes in the data folder."""
    content = os.urandom(BIG)
    (server.data_dir / "photos").mkdir()
    (server.data_dir / "photos" / "big.jpg").write_bytes(content)
    return content


def test_a_big_file_arrives_intact_while_twenty_readers_stall_on_it(server, photo):
    with ExitStack() as stack:
        for _ in range(20):
            stack.enter_context(never_reading(server.line, "/file?path=photos/big.jpg"))
        replies = [server.ask("GET", "/file?path=photos/big.jpg") for _ in range(3)]

    assert {hashlib.sha256(reply.body).digest() for reply in replies} == {hashlib.sha256(photo).digest()}


def test_the_applications_headers_are_kept_and_the_path_is_not_told(server, photo):
    headers = server.ask("HEAD", "/file?path=photos/big.jpg").headers

    assert headers["etag"] == '"kept"'
    assert (headers["cache-control"], headers["content-type"]) == ("private", "image/jpeg")
    assert headers["content-length"] == str(BIG)
    assert "x-lampwalk-file" not in {name.lower() for name in headers}


def test_a_tablet_that_has_the_file_already_is_told_so(server, photo):
    reply = server.ask("GET", "/file?path=photos/big.jpg", headers={"If-None-Match": '"kept"'})

    assert (reply.status, reply.headers["etag"], reply.body) == (304, '"kept"', b"")
    assert not {"x-lampwalk-file", "content-length"} & {name.lower() for name in reply.headers}


def test_one_date_is_enough(server, photo):  # werkzeug adds one to a conditional answer, and so does the server
    assert server.ask("GET", "/file?path=photos/big.jpg").dates == 1


@pytest.mark.parametrize(
    ("asked", "first", "last"),
    [
        ("bytes=0-9", 0, 9),
        ("bytes=29999990-", BIG - 10, BIG - 1),
        ("bytes=-5", BIG - 5, BIG - 1),
        ("bytes=5-99999999", 5, BIG - 1),
    ],
)
def test_a_range_is_sent_alone(server, photo, asked, first, last):
    reply = server.ask("GET", "/file?path=photos/big.jpg", headers={"Range": asked})

    assert (reply.status, reply.headers["content-range"]) == (206, f"bytes {first}-{last}/{BIG}")
    assert reply.body == photo[first : last + 1]


@pytest.mark.parametrize("headers", [
    {"Range": "bytes=0-1,5-6"}, {"Range": "lines=1-2"}, {"Range": "bytes=0-9", "If-Range": '"older"'},
])  # fmt: skip
def test_a_range_that_cannot_be_kept_to_gets_the_whole_file(server, photo, headers):
    reply = server.ask("GET", "/file?path=photos/big.jpg", headers=headers)

    assert (reply.status, len(reply.body)) == (200, BIG)


def test_a_range_of_the_same_version_is_sent_alone(server, photo):
    reply = server.ask("GET", "/file?path=photos/big.jpg", headers={"Range": "bytes=0-9", "If-Range": '"kept"'})

    assert (reply.status, reply.body) == (206, photo[:10])


def test_a_range_outside_the_file_says_how_long_it_is(server, photo):
    reply = server.ask("GET", "/file?path=photos/big.jpg", headers={"Range": f"bytes={BIG}-"})

    assert (reply.status, reply.headers["content-range"]) == (416, f"bytes */{BIG}")
    assert reply.error()["code"] == "range_outside"


@pytest.mark.parametrize("path", [
    "../secret.txt", "photos/../../secret.txt", "/etc/hostname", "..\\secret.txt", "link/secret.txt", "a%00b",
])  # fmt: skip
def test_a_path_that_leaves_the_data_folder_is_never_sent(server, photo, path):
    (server.data_dir.parent / "secret.txt").write_text("secret")
    if not (server.data_dir / "link").exists():
        (server.data_dir / "link").symlink_to(server.data_dir.parent)

    reply = server.ask("GET", f"/file?path={path}")

    assert (reply.status, reply.error()["code"]) == (500, "server_fault")
    assert "OutsideError" in server.log.read_text()


@pytest.mark.parametrize("path", ["photos/gone.jpg", "photos"])
def test_a_missing_file_is_not_found(server, photo, path):
    reply = server.ask("GET", f"/file?path={path}")

    assert (reply.status, reply.error()["code"]) == (404, "not_found")


def test_an_empty_file_is_an_empty_answer(server):
    (server.data_dir / "empty").touch()

    reply = server.ask("GET", "/file?path=empty")

    assert (reply.status, reply.headers["content-length"], reply.body) == (200, "0", b"")


@pytest.mark.skipif(sys.platform != "linux", reason="asks /proc which files the server has open")
def test_a_file_is_let_go_when_its_reader_leaves(server, eventually):
    huge = server.data_dir / "huge"
    with huge.open("wb") as file:
        file.truncate(2**40)  # a hole, on the disk as good as nothing; sending it all would take a quarter of an hour

    def is_open():
        return str(huge) in [os.path.realpath(link) for link in Path(f"/proc/{server.process.pid}/fd").iterdir()]

    with never_reading(server.line, "/file?path=huge"):
        assert eventually(is_open)
    assert eventually(lambda: not is_open())
