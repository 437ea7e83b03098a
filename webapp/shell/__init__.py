"""The phone's shell as files: everything under /phone/ comes from `built/`, which the build makes."""

from webapp.shell.routes import shell_bp

__all__ = ["shell_bp"]
