"""The data set as machines find it: ML Commons Croissant 1.0 (mlcommons.org/croissant), written by hand."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from .index import Column
from .names import INDEX_FILE

_KINDS = {bool: "sc:Boolean", int: "sc:Integer", float: "sc:Float", str: "sc:Text", list: "sc:Float"}
_CONTEXT = {
    "@language": "en", "@vocab": "https://schema.org/", "citeAs": "cr:citeAs", "column": "cr:column",
    "conformsTo": "dct:conformsTo", "cr": "http://mlcommons.org/croissant/", "rai": "http://mlcommons.org/croissant/RAI/",

    "equivalentProperty": "cr:equivalentProperty", "samplingRate": "cr:samplingRate",
    "data": {"@id": "cr:data", "@type": "@json"}, "dataType": {"@id": "cr:dataType", "@type": "@vocab"},
    "dct": "http://purl.org/dc/terms/", "examples": {"@id": "cr:examples", "@type": "@json"}, "extract": "cr:extract",
    "field": "cr:field", "fileProperty": "cr:fileProperty", "fileObject": "cr:fileObject", "fileSet": "cr:fileSet",
    "format": "cr:format", "includes": "cr:includes", "isLiveDataset": "cr:isLiveDataset", "jsonPath": "cr:jsonPath",
    "key": "cr:key", "md5": "cr:md5", "parentField": "cr:parentField", "path": "cr:path", "recordSet": "cr:recordSet",
    "references": "cr:references", "regex": "cr:regex", "repeated": "cr:repeated", "replace": "cr:replace",
    "sc": "https://schema.org/", "separator": "cr:separator", "source": "cr:source", "subField": "cr:subField",
    "transform": "cr:transform",
}  # fmt: skip


def croissant_text(sums: Mapping[str, str], row: list[Column], request: Mapping[str, Any]) -> str:
    """``croissant.json``: archives and index with their sums, and a record set over the index.

    Args:
        sums: path within the data set to SHA-256, of the archives and the index.
        row: any row of the index, for its columns' names and kinds.
        request: what was asked for.
    """
    files = [
        {
            "@type": "cr:FileObject", "@id": name, "name": name, "contentUrl": name, "sha256": found,
            "encodingFormat": "application/x-parquet" if name == INDEX_FILE else "application/x-tar",
        }
        for name, found in sums.items()
    ]  # fmt: skip
    fields = [
        {
            "@type": "cr:Field", "@id": f"pictures/{one.name}", "name": f"pictures/{one.name}",
            "description": f"{one.words} ({one.unit})" if one.unit else one.words,
            "dataType": _KINDS[type(one.value)],
            "source": {"fileObject": {"@id": INDEX_FILE}, "extract": {"column": one.name}},
        } | ({"repeated": True} if isinstance(one.value, list) else {})
        for one in row
    ]  # fmt: skip
    whole = {
        "@context": _CONTEXT,
        "@type": "sc:Dataset",
        "name": "drawn-golfers-and-their-swings",
        "description": "Pictures of drawn golfers with labels, to test a pose detector or a fault classifier on.",
        "conformsTo": "http://mlcommons.org/croissant/1.0",
        "license": "https://spdx.org/licenses/MIT.html",
        "version": "1.0.0",
        "keywords": [f"seed {request['seed']}"] if "seed" in request else [],
        "distribution": files,
        "recordSet": [
            {
                "@type": "cr:RecordSet", "@id": "pictures", "name": "pictures",
                "description": "A row for each picture, as index.parquet has it.", "key": {"@id": "pictures/key"},
                "field": fields,
            }
        ],
    }  # fmt: skip
    return json.dumps(whole, indent=1, ensure_ascii=False) + "\n"
