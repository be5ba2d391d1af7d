import hashlib, sys

well = True
for manifest in "tagmanifest-sha256.txt", "manifest-sha256.txt":
    for line in open(manifest, encoding="utf-8", newline="\n"):
        digest, path = line.rstrip("\n").split("  ", 1)
        path = path.replace("%0A", "\n").replace("%0D", "\r").replace("%25", "%")
        found = hashlib.sha256()
        try:
            with open(path, "rb") as file:
                while block := file.read(1 << 20):
                    found.update(block)
        except OSError as error:
            print("can't be read:", path, error)
            well = False
            continue
        if found.hexdigest() != digest:
            print("changed:", path)
            well = False
print("every listed file is whole" if well else "not all is well")
seal = hashlib.sha256(open("tagmanifest-sha256.txt", "rb").read()).hexdigest()
print("seal:", " ".join(seal[n:n + 4] for n in range(0, 64, 4)))
sys.exit(not well)
