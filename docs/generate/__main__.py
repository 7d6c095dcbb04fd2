"""Write every generated part into its page; say which ones changed."""

from __future__ import annotations

from pathlib import Path

from generate.parts import ROOT, generated_files


def main() -> None:
    """Write what is stale, leave the rest untouched."""
    for path, text in generated_files().items():
        if not path.exists() or path.read_text("utf-8") != text:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, "utf-8")
            print(f"wrote {Path(path).relative_to(ROOT)}")


if __name__ == "__main__":
    main()
