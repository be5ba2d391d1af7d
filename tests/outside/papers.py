#!/usr/bin/env python3
"""Writes papers.json: small files of many kinds, made by libraries and tools that are not this program's.

    python3 tests/outside/papers.py

It wants Pillow 11 or newer, openpyxl, and the program qpdf; the rest is Python's own library. Each row is a
name, the media type that its maker says, the pixel size and the camera's time where they were put in, and the
file itself in hexadecimal.
"""

import gzip
import io
import json
import lzma
import sqlite3
import subprocess
import tarfile
import tempfile
import wave
import zipfile
from email.message import EmailMessage
from pathlib import Path

import openpyxl
from PIL import Image

TAKEN = "2031:04:07 18:20:05"
OFFSET = "+01:00"


def picture(kind, offset=None, taken=None, size=(24, 10), **more):
    one = Image.new("RGB", size, (90, 120, 150))
    if taken:
        exif = Image.Exif()
        exif[0x0132] = taken  # without a tag of its own, Pillow leaves the PNG's out
        inner = exif.get_ifd(0x8769)
        inner[0x9003] = taken
        if offset:
            inner[0x9011] = offset
        more["exif"] = exif
    out = io.BytesIO()
    one.save(out, kind, **more)
    return out.getvalue()


def packed(make):
    out = io.BytesIO()
    make(out)
    return out.getvalue()


def zipped(out):
    with zipfile.ZipFile(out, "w") as one:
        one.writestr("note.txt", "a note")


def tarred(out):
    with tarfile.open(fileobj=out, mode="w") as one:
        one.addfile(tarfile.TarInfo("note.txt"))


def sounded(out):
    with wave.open(out, "wb") as one:
        one.setnchannels(1)
        one.setsampwidth(1)
        one.setframerate(8000)
        one.writeframes(b"\x80" * 8)


def workbook(out):
    book = openpyxl.Workbook()
    book.active["A1"] = 12.5
    book.save(out)


def database():
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "one.sqlite"
        base = sqlite3.connect(path)
        base.execute("pragma page_size = 512")
        base.execute("create table reading (um)")
        base.commit()
        base.close()
        return path.read_bytes()


def qpdf(plain, *how):
    with tempfile.TemporaryDirectory() as folder:
        before, after = Path(folder) / "before.pdf", Path(folder) / "after.pdf"
        before.write_bytes(plain)
        subprocess.run(["qpdf", *how, before, after], check=True)
        return after.read_bytes()


def mail():
    message = EmailMessage()
    message["From"] = "paint@example.org"
    message["Subject"] = "pails"
    message.set_content("Forty pails came.")
    return message.as_bytes()


def main():
    plain = picture("PDF", size=(4, 4))
    lock = ["--encrypt", "open", "own", "256", "--"]
    streams = "--object-streams=generate"
    size = [24, 10]
    rows = [
        ("a.jpg", "image/jpeg", size, f"{TAKEN} {OFFSET}", picture("JPEG", OFFSET, TAKEN)),
        ("b.jpg", "image/jpeg", size, TAKEN, picture("JPEG", None, TAKEN, progressive=True)),
        ("c.jpeg", "image/jpeg", size, None, picture("JPEG")),
        ("d.png", "image/png", size, f"{TAKEN} {OFFSET}", picture("PNG", OFFSET, TAKEN)),
        # Pillow leaves the camera's own part of Exif out of a TIFF.
        ("e.tif", "image/tiff", None, None, picture("TIFF", OFFSET, TAKEN)),
        ("f.webp", "image/webp", None, f"{TAKEN} {OFFSET}", picture("WEBP", OFFSET, TAKEN)),
        ("g.gif", "image/gif", None, None, picture("GIF")),
        ("h.bmp", "image/bmp", None, None, picture("BMP", size=(2, 2))),
        ("i.jp2", "image/jp2", None, None, picture("JPEG2000", size=(4, 4))),
        ("j.avif", "image/avif", None, None, picture("AVIF", size=(4, 4))),
        ("k.pdf", "application/pdf", None, None, plain),
        ("l.pdf", "application/pdf", None, None, qpdf(plain, streams)),
        ("m.pdf", "application/pdf; encrypted", None, None, qpdf(plain, *lock)),
        ("n.pdf", "application/pdf; encrypted", None, None, qpdf(plain, streams, *lock)),
        ("o.pdf", "application/pdf; encrypted", None, None, qpdf(plain, "--linearize", *lock)),
        ("p.zip", "application/zip", None, None, packed(zipped)),
        ("q.tar", "application/x-tar", None, None, packed(tarred)[:1024]),
        ("r.gz", "application/gzip", None, None, gzip.compress(b"a note", mtime=0)),
        ("s.xz", "application/x-xz", None, None, lzma.compress(b"a note")),
        ("t.wav", "audio/x-wav", None, None, packed(sounded)),
        ("u.sqlite", "application/vnd.sqlite3", None, None, database()),
        ("v.eml", "message/rfc822", None, None, mail()),
        ("w.csv", "text/csv", None, None, "spot,um\nA1,260\nÅ2,255\n".encode()),
        ("x.txt", "text/plain; charset=unknown", None, None, "Færing på land".encode("latin-1")),
        ("y.txt", "text/plain; charset=unknown", None, None, "Rough note".encode("utf-16")),
        (
            "z.xlsx",
            "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
            None,
            None,
            packed(workbook),
        ),
    ]
    lines = [json.dumps([name, media, pixels, taken, made.hex()]) for name, media, pixels, taken, made in rows]
    Path(__file__).with_suffix(".json").write_text("[\n" + ",\n".join(lines) + "\n]\n", encoding="ascii")


if __name__ == "__main__":
    main()
