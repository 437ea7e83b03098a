"""Runs the app on gunicorn, started from our own command: one port, clean on ctrl-C."""

from __future__ import annotations

import os
import socket
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from gunicorn.app.base import BaseApplication  # type: ignore[import-untyped]

from webapp import create_app
from webapp.audit.rates import warm_up

if TYPE_CHECKING:
    from flask import Flask

QUIET = "warning"
THREADS = 8


class PortTaken(Exception):
    """Another program listens there already."""


class _Server(BaseApplication):  # type: ignore[misc]  # gunicorn has no types
    def __init__(self, config: Mapping[str, Any], settings: Mapping[str, Any]) -> None:
        self._config, self._settings = config, settings
        super().__init__()

    def load_config(self) -> None:
        for name, value in self._settings.items():
            self.cfg.set(name, value)
        if (
            "control_socket_disable" in self.cfg.settings
        ):  # newer releases open a socket for their own tool; we need none
            self.cfg.set("control_socket_disable", True)

    def load(self) -> Flask:
        return create_app(self._config)


def run_server(
    config: Mapping[str, Any], *, host: str, port: int, workers: int = 1, when_ready: Callable[[], None]
) -> None:
    """Serve until ctrl-C or SIGTERM; `when_ready` is called once the port is open. Raises PortTaken."""
    refuse_taken_port(host, port)
    settings = {
        "bind": f"{host}:{port}",
        "workers": workers,
        "worker_class": "gthread",
        "threads": THREADS,
        "loglevel": QUIET,
        "proc_name": "undercroft",
        "when_ready": lambda _arbiter: when_ready(),
        "post_worker_init": lambda _worker: warm_up(),  # in each worker: threads do not outlive its fork
    }
    ours = os.getpid()
    try:
        _Server(config, settings).run()
    except SystemExit as end:
        # gunicorn ends by leaving the program, and we may have more to say; its workers leave by the same way
        if end.code or os.getpid() != ours:
            raise


def refuse_taken_port(host: str, port: int) -> None:
    """Say at once what gunicorn would only say after five tries."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            why = error.strerror or error
            raise PortTaken(f"Port {port} on {host} cannot be used: {why}. Choose another with --port.") from error
