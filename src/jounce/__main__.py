"""Entry point."""

from __future__ import annotations


def main() -> None:
    """Run the command line."""
    from jounce.cli.app import app

    app()


if __name__ == "__main__":
    main()
