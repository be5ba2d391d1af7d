"""Judges RO-Crates by PyPI roc-validator at its required level, without a network.

    python crate.py FOLDER...      folders that hold ro-crate-metadata.json

The validator fetches the JSON-LD context that a crate names. Here it is given the one that PyPI rocrate brings, of
RO-Crate 1.3 in place of 1.2; all terms that are used stand in both. Whatever else it would fetch is refused.
Prints what is wrong, and which terms no context has.
"""

import importlib.resources
import json
import sys

import requests
from requests.adapters import BaseAdapter
from rocrate_validator import models, services
from rocrate_validator.utils.document_loader import install_document_loader

CONTEXT = importlib.resources.files("rocrate").joinpath("data/ro-crate.jsonld").read_bytes()


class Offline(BaseAdapter):
    def send(self, request, **_):
        response = requests.Response()
        response.request, response.url, response.encoding = request, request.url, "utf-8"
        known = request.url.startswith("https://w3id.org/ro/crate/1.2/context")
        response.status_code = 200 if known else 404
        response.headers["Content-Type"] = "application/ld+json"
        response._content = CONTEXT if known else b""
        return response

    def close(self):
        pass


requests.Session.get_adapter = lambda *_, **__: Offline()
install_document_loader()

terms = json.loads(CONTEXT)["@context"]
wrong = 0
for folder in sys.argv[1:]:
    settings = services.ValidationSettings(
        rocrate_uri=folder, profile_identifier="ro-crate-1.2", requirement_severity=models.Severity.REQUIRED,
        no_cache=True)
    result = services.validate(settings)
    for issue in result.get_issues():
        wrong += 1
        print(f"{folder}: {issue.severity.name} {issue.check.identifier}: {issue.message} ({issue.violatingEntity})")
    with open(f"{folder}/ro-crate-metadata.json", encoding="utf-8") as file:
        graph = json.load(file)["@graph"]
    for entity in graph:
        kinds = entity["@type"] if isinstance(entity["@type"], list) else [entity["@type"]]
        for term in [*kinds, *(key for key in entity if not key.startswith("@"))]:
            if term not in terms:
                wrong += 1
                print(f"{folder}: no term {term} ({entity['@id']})")
    print(f"{folder}: {len(result.executed_checks)} checks, {len(graph)} entities")
sys.exit(1 if wrong else 0)
