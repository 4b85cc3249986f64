"""A 3MF package as three others read it: lib3mf (the 3MF Consortium's own), trimesh, zipfile."""

import zipfile
from dataclasses import dataclass
from xml.etree import ElementTree

import lib3mf
import numpy as np
import trimesh

MODEL = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
THUMBNAIL = "http://schemas.openxmlformats.org/package/2006/relationships/metadata/thumbnail"
RELATIONSHIPS, TYPES = "_rels/.rels", "[Content_Types].xml"
STORED_OR_DEFLATED = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)  # all that 3MF allows, 0 and 8


@dataclass
class Item:
    """One thing to build."""

    name: str
    object_number: str
    item_number: str
    sound: bool
    linear: np.ndarray
    at: np.ndarray
    vertices: np.ndarray
    triangles: np.ndarray

    @property
    def placed(self):
        """Corners on the bed."""
        return self.vertices @ self.linear + self.at


@dataclass
class Plate:
    warnings: list
    unit: str
    items: list
    objects: int
    metadata: dict
    thumbnail: bytes


def read_plate(path):
    """Strict mode: what the specification forbids is an error, not something to be guessed at."""
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    warnings = [reader.GetWarning(i) for i in range(reader.GetWarningCount())]
    found, items = model.GetBuildItems(), []
    while found.MoveNext():
        items.append(item(found.GetCurrent()))
    group = model.GetMetaDataGroup()
    entries = [group.GetMetaData(i) for i in range(group.GetMetaDataCount())]
    metadata = {one.GetName(): one.GetValue() for one in entries}
    has_picture = model.HasPackageThumbnailAttachment()
    picture = bytes(model.GetPackageThumbnailAttachment().WriteToBuffer()) if has_picture else b""
    unit = lib3mf.ModelUnit(model.GetUnit()).name
    return Plate(warnings, unit, items, model.GetObjects().Count(), metadata, picture)


def item(built):
    thing = built.GetObjectResource()
    if not thing.IsMeshObject():
        raise ValueError(f"{thing.GetName()} is no mesh")
    fields = np.array([list(row) for row in built.GetObjectTransform().Fields])
    corners = np.array([list(one.Coordinates) for one in thing.GetVertices()])
    triangles = np.array([list(one.Indices) for one in thing.GetTriangleIndices()])
    sound = thing.IsManifoldAndOriented()
    numbers = thing.GetPartNumber(), built.GetPartNumber()
    return Item(thing.GetName(), *numbers, sound, fields[:3], fields[3], corners, triangles)


def read_scene(path):
    """Name and volume of everything trimesh finds in the package, each where it is built."""
    scene = trimesh.load(path, file_type="3mf")
    names = [scene.graph[node][1] for node in scene.graph.nodes_geometry]
    return scene.units, sorted((name, float(scene.geometry[name].volume)) for name in names)


@dataclass
class Package:
    broken: str
    odd_methods: list
    without_type: list
    targets: list
    missing: list


def read_package(path):
    with zipfile.ZipFile(path) as package:
        entries = package.infolist()
        names = [entry.filename for entry in entries]
        odd = [entry.filename for entry in entries if entry.compress_type not in STORED_OR_DEFLATED]
        types, overridden = content_types(package.read(TYPES))
        plain = [name for name in names if name != TYPES and f"/{name}" not in overridden]
        without = [name for name in plain if name.rpartition(".")[2] not in types]
        links = ElementTree.fromstring(package.read(RELATIONSHIPS))
        targets = [(link.get("Type"), link.get("Target")) for link in links]
        missing = [target for _, target in targets if target.removeprefix("/") not in names]
        twice = [f"{name} twice" for name in set(names) if names.count(name) > 1]
        return Package(package.testzip() or "", odd + twice, without, targets, missing)


def content_types(text):
    listed = list(ElementTree.fromstring(text))
    known = {one.get("Extension") for one in listed if one.tag.endswith("}Default")}
    return known, {one.get("PartName") for one in listed if one.tag.endswith("}Override")}
