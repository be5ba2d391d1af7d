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
    if "separator" in column:
        # frictionless has no lists of a type: the whole cell is a text.
        made = {"type": "string"}
        constraints = {}
    else:
        made = {"type": TYPES[datatype["base"]]}
        if datatype["base"] == "boolean":
            yes, no = datatype["format"].split("|")
            made.update(trueValues=[yes], falseValues=[no])
        elif datatype["base"] == "dateTimeStamp":
            made["format"] = "%Y-%m-%dT%H:%M:%S%z"
        elif "format" in datatype:
            constraints["pattern"] = datatype["format"]
    constraints["required"] = column["required"]
    # A bound that is none has no number; in a list the word is only text to frictionless.
    missing = ["", "none"] if "none" in column["null"] and "separator" not in column else [""]
    return {"name": column["titles"][0], "title": column["dc:title"],
            "description": column["dc:description"], "constraints": constraints,
            "missingValues": missing, **made}


def resource(table):
    schema = table["tableSchema"]
    names = {column["name"]: column["titles"][0] for column in schema["columns"]}
    lists = {column["name"] for column in schema["columns"] if "separator" in column}
    made = {"fields": [field(column) for column in schema["columns"]]}
    if "primaryKey" in schema:
        made["primaryKey"] = [names[name] for name in schema["primaryKey"]]
    keys = [key for key in schema.get("foreignKeys", []) if key["columnReference"][0] not in lists]
    made["foreignKeys"] = [
        {"fields": [names[name] for name in key["columnReference"]],
         "reference": {"resource": stem(key["reference"]["resource"]),
                       "fields": key["reference"]["columnReference"]}}
        for key in keys]
    path = table["url"].removeprefix("../")
    return {"name": stem(path), "path": path if path != table["url"] else f"tables/{path}",
            "encoding": "utf-8", "dialect": {"csv": {"delimiter": ",", "quoteChar": '"'}},
            "schema": made}


def stem(path):
    return path.rsplit("/")[-1].removesuffix(".csv").lower().replace("_", "-")


data = pathlib.Path(sys.argv[1])
group = json.loads((data / "tables" / "csv-metadata.json").read_text("utf-8"))
package = {"name": "tables", "resources": [resource(table) for table in group["tables"]]}
(data / "datapackage.json").write_text(json.dumps(package, indent=1), "utf-8")
keys = sum(len(r["schema"]["foreignKeys"]) for r in package["resources"])
print(len(package["resources"]), "tables,", keys, "references")
