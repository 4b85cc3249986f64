"""Binary STL byte by byte, so that nothing a mesh library repairs on reading stays unseen."""

import numpy as np

HEADER = 80
RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def read_stl(path):
    data = path.read_bytes()
    if data[:5] == b"solid":
        raise ValueError("the header begins like a text STL; some readers will take it for one")
    stated = int.from_bytes(data[HEADER : HEADER + 4], "little")
    if len(data) != HEADER + 4 + stated * RECORD.itemsize:
        raise ValueError(f"{len(data)} bytes do not hold {stated} triangles")
    return np.frombuffer(data, RECORD, offset=HEADER + 4)


def degenerate(records):
    corners = records["corners"]
    twins = [(corners[:, i] == corners[:, (i + 1) % 3]).all(axis=1) for i in range(3)]
    return int(np.any(twins, axis=0).sum())


def turned_normals(records):
    """Triangles whose stored normal is not that of their winding. A zero normal is allowed by
    the format; a needle's normal is beyond 32 bits, so only clearly wrong ones are counted."""
    corners, stated = records["corners"].astype(float), records["normal"].astype(float)
    wound = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(wound, axis=1) * np.linalg.norm(stated, axis=1)
    clear = (np.linalg.norm(wound, axis=1) > 1e-4) & (size > 0)
    along = (wound * stated).sum(axis=1)
    return int((along[clear] < 0.99 * size[clear]).sum())
