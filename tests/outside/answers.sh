#!/bin/sh
# Answers from a bundle, with nothing but a shell, coreutils, unzip and awk:
#     sh answers.sh BUNDLE.zip [POSITION]
# Nothing here reads JSON, and nothing here needs the program that wrote the bundle.
set -eu

zip=$1
position=${2:-P2}
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
unzip -q "$zip" -d "$folder"
cd "$folder"/*/

# The named columns of a table, a tab between them, without the header. Cells with commas, quotation
# marks or line breaks stand in quotation marks.
columns() {
    table=$1
    shift
    awk -v wanted="$*" '
        { line = line (open ? "\n" : "") $0; marks = gsub(/"/, "\"", line); open = marks % 2 }
        open { next }
        {
            n = 0; cell = ""; inside = 0
            for (i = 1; i <= length(line); i++) {
                c = substr(line, i, 1)
                if (c == "\"") {
                    if (inside && substr(line, i + 1, 1) == "\"") { cell = cell c; i++ }
                    else inside = !inside
                } else if (c == "," && !inside) { cells[++n] = cell; cell = "" }
                else cell = cell c
            }
            cells[++n] = cell; line = ""
            if (!header) {
                header = 1
                count = split(wanted, names, " ")
                for (i = 1; i <= n; i++) at[cells[i]] = i
                for (i = 1; i <= count; i++) if (!(names[i] in at)) { print "no column " names[i] > "/dev/stderr"; exit 1 }
                next
            }
            for (i = 1; i <= count; i++) printf "%s%s", cells[at[names[i]]], i < count ? "\t" : "\n"
        }' "data/tables/$table"
}

echo "Is it whole?"
whole=yes
for check in "sha256sum tagmanifest-sha256.txt" "sha512sum tagmanifest-sha512.txt" \
    "sha256sum manifest-sha256.txt" "sha512sum manifest-sha512.txt"; do
    ${check% *} --check --strict --quiet "${check#* }" || whole=no
done
listed=$(wc -l <manifest-sha256.txt)
there=$(find data -type f | wc -l)
[ "$listed" -eq "$there" ] || whole=no
echo "  $whole"

echo "How many keel blocks?"
columns plan-blocks.csv row | awk '$1 == "keel" { n++ } END { print "  " n + 0 }'

echo "What was never exposed, and how large was it?"
columns recomputed-never-exposed.csv from_x_m to_x_m from_y_m to_y_m area_m2 hidden_by | awk -F '\t' '
    { printf "  x %.2f to %.2f m, y %.2f to %.2f m, %.3f m2, under %s\n", $1, $2, $3, $4, $5, $6; sum += $5 }
    END { printf "  together %.3f m2 in %d\n", sum, NR }'

echo "Which opening was nearest a block in $position?"
columns recomputed-openings.csv position opening clear_distance_m nearest_block |
    awk -F '\t' -v position="$position" '
        $1 == position && $3 != "" && (!found || $3 + 0 < least) {
            found = 1; least = $3 + 0; opening = $2; block = $4
        }
        END { if (found) printf "  %s, %.3f m from %s\n", opening, least, block }'

echo "What is the seal?"
sha256sum tagmanifest-sha256.txt | cut -c 1-64 | sed 's/..../& /g; s/ $//; s/^/  /'
