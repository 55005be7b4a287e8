"""Packages are found by themselves; the examples, mapped in pyproject.toml, travel inside the package."""

import tomllib
from pathlib import Path

from setuptools import find_namespace_packages, setup

PROJECT = tomllib.loads(Path("pyproject.toml").read_text(encoding="utf-8"))
FOLDERS = PROJECT["tool"]["setuptools"]["package-dir"]

OURS = find_namespace_packages(FOLDERS[""], include=["alongside*"], exclude=["*__pycache__*"])

setup(packages=[*OURS, *(package for package in FOLDERS if package)])
