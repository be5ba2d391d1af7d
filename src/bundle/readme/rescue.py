import mmap, os, struct, sys, zlib

# Run as: python3 rescue.py DAMAGED.zip FOLDER
# Every entry that is still there is written below FOLDER, a damaged one with .damaged at its end.
with open(sys.argv[1], "rb") as file:
    data = mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ)
at = 0
while (start := data.find(b"PK\x03\x04", at)) >= 0:
    at = start + 4
    if start + 30 > len(data):
        break
    method, crc, size, name_length, extra_length = struct.unpack_from("<8xH4xI4xIHH", data, start)
    begin = start + 30 + name_length + extra_length
    name = data[start + 30:start + 30 + name_length].decode("utf-8", "replace")
    extra = data[start + 30 + name_length:begin]
    if size == 0xFFFFFFFF and extra[:2] == b"\x01\x00" and len(extra) >= 12:
        size = struct.unpack_from("<Q", extra, 4)[0]
    parts = name.split("/")
    unsafe = any(part in ("", ".", "..") or set("\\:\0") & set(part) for part in parts)
    if method or len(parts) < 2 or unsafe:
        continue
    end, found = min(begin + size, len(data)), 0
    place = os.path.join(sys.argv[2], *parts)
    os.makedirs(os.path.dirname(place), exist_ok=True)
    with open(place + ".damaged", "wb") as out:
        for left in range(begin, end, 1 << 20):
            block = data[left:min(left + (1 << 20), end)]
            found = zlib.crc32(block, found)
            out.write(block)
    whole = end == begin + size and found == crc
    print("whole  " if whole else "damaged", name)
    if whole:
        os.replace(place + ".damaged", place)
        at = end
