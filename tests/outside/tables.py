"""Makes datapackage.json from tables/csv-metadata.json, for frictionless, which reads no CSV on the Web.

    python tables.py DATA       DATA is a bundle's folder data/; the package stands in it
"""

import json
import pathlib
import sys

TYPES = {"double": "number", "integer": "integer", "boolean": "boolean", "date": "date",
         "dateTimeStamp": "datetime", "string": "string"}
BOUNDS = {"minimum": "minimum", "minExclusive": "exclusiveMinimum", "minLength": "minLength",
          "maxLength": "maxLength"}


def field(column):
    datatype = column["datatype"]
    datatype = {"base": datatype} if isinstance(datatype, str) else datatype
    constraints = {BOUNDS[key]: value for key, value in datatype.items() if key in BOUNDS}
    missing = [""]
    if "separator" in column:
        # frictionless 5.21 stops at lists beside foreign keys; the whole cell is a text to it.
        made = {"type": "string"}
        constraints = {}
    else:
        made = {"type": TYPES[datatype["base"]]}
        missing = column["null"]
        if datatype["base"] == "boolean":
            yes, no = datatype["format"].split("|")
            made.update(trueValues=[yes], falseValues=[no])
        elif datatype["base"] == "dateTimeStamp":
            made["format"] = "%Y-%m-%dT%H:%M:%S%z"
        elif "format" in datatype:
            constraints["pattern"] = datatype["format"]
    constraints["required"] = column["required"]
    return {"name": column["titles"][0], "title": column["dc:title"],
            "description": column["dc:description"], "constraints": constraints,
            "missingValues": missing, **made}


def references(schema, names):
    for key in schema.get("foreignKeys", []):
        reference = key["reference"]
        columns = [names[name] for name in key["columnReference"]]
        yield columns, reference["resource"], reference["columnReference"]
    for column in schema["columns"]:
        if "dc:relation" in column and "separator" not in column:
            table, ids = column["dc:relation"].split(", column ")
            yield [column["titles"][0]], table, [ids]


def resource(table):
    schema = table["tableSchema"]
    names = {column["name"]: column["titles"][0] for column in schema["columns"]}
    made = {"fields": [field(column) for column in schema["columns"]]}
    if "primaryKey" in schema:
        made["primaryKey"] = [names[name] for name in schema["primaryKey"]]
    made["foreignKeys"] = [
        {"fields": columns, "reference": {"resource": stem(target), "fields": ids}}
        for columns, target, ids in references(schema, names)]
    path = table["url"].removeprefix("../")
    return {"name": stem(path), "path": path if path != table["url"] else f"tables/{path}",
            "encoding": "utf-8", "dialect": {"csv": {"delimiter": ",", "quoteChar": '"'}},
            "schema": made}


def stem(path):
    return path.rsplit("/")[-1].removesuffix(".csv").lower().replace("_", "-")


data = pathlib.Path(sys.argv[1])
group = json.loads((data / "tables" / "csv-metadata.json").read_text("utf-8"))
package = {"$schema": "https://datapackage.org/profiles/2.0/datapackage.json", "name": "tables",
           "resources": [resource(table) for table in group["tables"]]}
(data / "datapackage.json").write_text(json.dumps(package, indent=1), "utf-8")
keys = sum(len(r["schema"]["foreignKeys"]) for r in package["resources"])
print(len(package["resources"]), "tables,", keys, "references")
