"""Reading and writing STEP through OpenCASCADE: plain shapes, and names with placements."""

from dataclasses import dataclass

from OCP.IFSelect import IFSelect_RetDone
from OCP.Message import Message, Message_Gravity
from OCP.OCP.collections import Sequence_TCollection_AsciiString, Sequence_TDF_Label
from OCP.STEPCAFControl import STEPCAFControl_Reader, STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_AsIs, STEPControl_Reader, STEPControl_Writer
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool
from OCP.gp import gp_Trsf, gp_Vec


def quiet():
    """The transfer statistics OpenCASCADE prints would bury the table."""
    for printer in list(Message.DefaultMessenger_s().Printers()):
        printer.SetTraceLevel(Message_Gravity.Message_Fail)


@dataclass
class Plain:
    shape: object
    roots: int
    length_units: list


def read_plain(path):
    reader = STEPControl_Reader()
    if reader.ReadFile(str(path)) != IFSelect_RetDone:
        raise ValueError(f"OpenCASCADE cannot read {path.name}")
    units = [Sequence_TCollection_AsciiString() for _ in range(3)]
    reader.FileUnits(*units)
    roots = reader.TransferRoots()
    names = [units[0].Value(i + 1).ToCString() for i in range(units[0].Length())]
    return Plain(reader.OneShape(), roots, names)


@dataclass
class Named:
    """One solid-bearing component: both names, since either may carry the part's id."""

    product: str
    instance: str
    placement: gp_Trsf
    shape: object


def read_named(path):
    """Every leaf of the product tree, with the placements on the way down multiplied up."""
    document = TDocStd_Document(TCollection_ExtendedString("check"))
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    if reader.ReadFile(str(path)) != IFSelect_RetDone or not reader.Transfer(document):
        raise ValueError(f"OpenCASCADE cannot read the names of {path.name}")
    labels = Sequence_TDF_Label()
    XCAFDoc_DocumentTool.ShapeTool_s(document.Main()).GetFreeShapes(labels)
    found = []
    for i in range(labels.Length()):
        label = labels.Value(i + 1)
        collect(label, name_of(label), TopLoc_Location(), found)
    return found


def collect(label, instance, location, found):
    if not XCAFDoc_ShapeTool.IsAssembly_s(label):
        shape = XCAFDoc_ShapeTool.GetShape_s(label)
        found.append(Named(name_of(label), instance, location.Transformation(), shape.Moved(location)))
        return
    parts = Sequence_TDF_Label()
    XCAFDoc_ShapeTool.GetComponents_s(label, parts)
    for i in range(parts.Length()):
        component, product = parts.Value(i + 1), TDF_Label()
        XCAFDoc_ShapeTool.GetReferredShape_s(component, product)
        inner = location.Multiplied(XCAFDoc_ShapeTool.GetLocation_s(component))
        collect(product, name_of(component), inner, found)


def name_of(label):
    attribute = TDataStd_Name()
    if not label.FindAttribute(TDataStd_Name.GetID_s(), attribute):
        return ""
    return attribute.Get().ToExtString()


def write_plain(shape, path):
    writer = STEPControl_Writer()
    if writer.Transfer(shape, STEPControl_AsIs) != IFSelect_RetDone:
        raise ValueError("OpenCASCADE cannot turn the shape into STEP")
    if writer.Write(str(path)) != IFSelect_RetDone:
        raise ValueError(f"OpenCASCADE cannot write {path.name}")


def write_assembly(placed, title, path):
    """`placed` holds (name, shape, [x, y, z]) for each part."""
    document = TDocStd_Document(TCollection_ExtendedString("family"))
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    root = tool.NewShape()
    TDataStd_Name.Set_s(root, TCollection_ExtendedString(title))
    for name, shape, place in placed:
        product = tool.AddShape(shape, False)
        TDataStd_Name.Set_s(product, TCollection_ExtendedString(name))
        move = gp_Trsf()
        move.SetTranslation(gp_Vec(*place))
        component = tool.AddComponent(root, product, TopLoc_Location(move))
        TDataStd_Name.Set_s(component, TCollection_ExtendedString(name))
    tool.UpdateAssemblies()
    writer = STEPCAFControl_Writer()
    writer.SetNameMode(True)
    if not writer.Transfer(document) or writer.Write(str(path)) != IFSelect_RetDone:
        raise ValueError(f"OpenCASCADE cannot write {path.name}")
