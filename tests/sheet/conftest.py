"""Readers that know nothing of how the sheet was made: pypdf, pdfplumber and poppler."""

import io
import subprocess

import pdfplumber
import pytest
from pypdf import PdfReader


@pytest.fixture
def read():
    """Return a function that opens the bytes of a sheet with pypdf."""
    return lambda pdf: PdfReader(io.BytesIO(pdf))


@pytest.fixture
def plumb():
    """Return a function that opens the bytes of a sheet with pdfplumber."""
    opened = []

    def open_one(pdf):
        opened.append(pdfplumber.open(io.BytesIO(pdf)))
        return opened[-1]

    yield open_one
    for one in opened:
        one.close()


@pytest.fixture
def words():
    """Return a function that reads all words of a sheet with pdftotext, as one line."""

    def read_words(pdf, *options):
        done = subprocess.run(["pdftotext", *options, "-", "-"], input=pdf, capture_output=True, check=True)
        return " ".join(done.stdout.decode().split())

    return read_words
