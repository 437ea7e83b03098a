"""The means of these tests: a killed browser keeps what it stored, and a killed server comes back."""

import pytest

from e2e.phone import Chromium
from e2e.server import Server

STORE = """(value) => new Promise((done, failed) => {
  const open = indexedDB.open("means", 1);
  open.onupgradeneeded = () => open.result.createObjectStore("kept");
  open.onsuccess = () => {
    const tx = open.result.transaction("kept", "readwrite", {durability: "strict"});
    tx.objectStore("kept").put(value, "key");
    tx.oncomplete = () => done(tx.durability);
    tx.onabort = () => failed(tx.error);
  };
})"""
READ = """() => new Promise((done) => {
  const open = indexedDB.open("means", 1);
  open.onsuccess = () => {
    const get = open.result.transaction("kept").objectStore("kept").get("key");
    get.onsuccess = () => done(get.result);
  };
})"""


def test_a_killed_browser_keeps_what_a_strict_transaction_stored(server: Server, phone: Chromium) -> None:
    page = phone.start(f"{server.address}/healthz")
    assert page.evaluate(STORE, "saved before the kill") == "strict"
    first = phone.kill()
    page = phone.start(f"{server.address}/healthz")
    assert page.evaluate(READ) == "saved before the kill"
    assert phone.pid() != first


def test_a_killed_server_comes_back_at_the_same_address(server: Server, phone: Chromium) -> None:
    page = phone.start(f"{server.address}/healthz")
    server.kill()
    with pytest.raises(Exception, match=r"ERR_CONNECTION_(REFUSED|RESET)|ERR_EMPTY_RESPONSE"):
        page.goto(f"{server.address}/healthz")
    server.start()
    response = phone.context.new_page().goto(f"{server.address}/healthz")  # the first page may still show its error
    assert response is not None
    assert response.ok


def test_a_phone_without_network_reaches_nobody(server: Server, phone: Chromium) -> None:
    page = phone.start(offline=True)
    with pytest.raises(Exception, match="ERR_INTERNET_DISCONNECTED"):
        page.goto(f"{server.address}/healthz")
