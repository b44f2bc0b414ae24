"""Starting and stopping: nothing in flight is lost, and whoever starts it is told plainly what is wrong."""

import signal
import socket
import subprocess
import sys
import time
from pathlib import Path
from urllib.request import urlopen

import pytest
from hostile import connect, never_reading, read_all, stalled_upload

from inspect_app.serving import running, serve
from inspect_app.serving.run import listen


def application(environ, start_response):
    start_response("200 OK", [("Content-Type", "text/plain")])
    return [b"hello"]


@pytest.mark.parametrize("stop", [signal.SIGTERM, signal.SIGINT])
def test_a_request_in_flight_is_finished_before_the_server_stops(start, in_background, eventually, stop):
    server = start()
    waiting = in_background(server.ask, "GET", "/slow")
    assert eventually(lambda: server.at_work() == 1)

    server.process.send_signal(stop)
    time.sleep(0.5)  # it has begun to stop, and must wait
    assert not (server.data_dir / "stopped").exists()
    (server.data_dir / "go").touch()

    assert waiting().body == b"finished"
    assert server.process.wait(30) == 0
    assert (server.data_dir / "stopped").exists()


def test_stopping_takes_no_longer_than_its_limit_when_clients_stall(start):
    server = start(stop_s=1, body_idle_s=900, body_total_s=900)
    with stalled_upload(server.line), connect(server.line), never_reading(server.line):
        assert server.ask("GET", "/").status == 200  # so those before it have been let in

        assert server.stop() == 0

    assert (server.data_dir / "stopped").exists()
    assert server.log.read_text() == ""  # somebody looking at the terminal sees no alarm


def test_a_request_that_never_ends_is_abandoned_and_the_journal_still_closed(start, eventually):
    server = start(stop_s=1)
    with connect(server.line) as client:
        client.sendall(b"GET /stuck HTTP/1.1\r\nHost: here\r\n\r\n")
        assert eventually(lambda: server.at_work() == 1)

        assert server.stop() == 3
        assert b'"code": "server_stopping"' in read_all(client)

    assert (server.data_dir / "stopped").exists()
    assert "1 requests did not finish" in server.log.read_text()
    assert "Traceback" not in server.log.read_text()


def test_a_taken_port_is_one_sentence_and_nothing_is_started(start, tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        command = [sys.executable, str(Path(__file__).parent / "tiny_app.py"), str(tmp_path), "{}", str(port)]
        result = subprocess.run(command, capture_output=True, text=True, timeout=60)

    assert result.returncode == 1
    assert result.stderr.startswith(f"Port {port} on 127.0.0.1 cannot be used (Address already in use)")
    assert result.stderr.count("\n") == 1
    assert not (tmp_path / "started").exists()


@pytest.mark.parametrize(("host", "port", "word"), [("no.invalid", 0, "no.invalid"), ("127.0.0.1", 70000, "65535")])
def test_an_address_that_cannot_be_is_one_sentence(tmp_path, capsys, host, port, word):
    assert serve(application, host, port, data_dir=tmp_path) == 1

    message = capsys.readouterr().err
    assert word in message
    assert message.count("\n") == 1


def test_what_goes_wrong_at_the_start_reaches_the_caller(tmp_path):
    def broken():
        raise RuntimeError("the journal is locked")

    with pytest.raises(RuntimeError, match="the journal is locked"):
        serve(application, "127.0.0.1", 0, data_dir=tmp_path, on_start=broken)


def test_a_test_can_serve_from_a_thread(tmp_path):
    with running(application, data_dir=tmp_path) as address, urlopen(address) as answer:
        assert answer.read() == b"hello"


def test_small_answers_do_not_wait_for_the_clients_acknowledgement():
    with listen("127.0.0.1", 0) as listener, connect(listener.getsockname()[1]):
        accepted, _ = listener.accept()
        with accepted:
            assert accepted.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY)
