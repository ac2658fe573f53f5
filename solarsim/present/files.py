"""Write a whole file or none of it; what does it lives where earlier rooms reach it too."""

from __future__ import annotations

from solarsim.spec.files import check_writable, write_file

__all__ = ["check_writable", "write_file"]
