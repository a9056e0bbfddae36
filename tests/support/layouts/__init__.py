"""Layouts to try the kernel with, and what it promises of them."""
