"""A left-handed family against OpenCASCADE's mirror image of the right-handed one: --mirrored RIGHT LEFT,
two folders of builds that differ in nothing else.
"""

from measure import volume
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf
from difference_check import left_of
from report import at_most, broken, equal
from solids import only_solid
from step_file import read_plain

MIRROR = "OpenCASCADE gp_Trsf.SetMirror of the right-handed part's STEP solid"

# mm³, of a few thousand: OpenCASCADE's booleans of surfaces that lie on each other.
SAME = 1e-3


def check_mirrored(right, left):
    names = [sorted(path.name for path in folder.glob("*-*.step")) for folder in (right, left)]
    checks = [equal(left.name, "parts", names[1], names[0], MIRROR)]
    for name in names[0]:
        try:
            checks += check_part(name, right, left)
        except Exception as error:
            checks.append(broken(name, "mirror image", error, MIRROR))
    return checks


def check_part(name, right, left):
    mirrored, drawn = mirror(only_solid(read_plain(right / name).shape)), only_solid(read_plain(left / name).shape)
    part = f"{left.name}/{name.removesuffix('.step')}"
    return [
        at_most(part, "only in the mirror image, mm3", left_of(mirrored, drawn), SAME, MIRROR),
        at_most(part, "only in the left-handed part, mm3", left_of(drawn, mirrored), SAME, MIRROR),
        at_most(part, "volume, mm3 off", abs(volume(mirrored) - volume(drawn)), SAME, MIRROR),
    ]


def mirror(solid):
    """The solid with x turned round: the plane of the mirror is that of y and z."""
    plane = gp_Trsf()
    plane.SetMirror(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(1, 0, 0)))
    return only_solid(BRepBuilderAPI_Transform(solid, plane, True).Shape())
