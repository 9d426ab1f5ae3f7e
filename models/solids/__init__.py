"""The only room with the kernel: solids, meshes, exact gaps, the mesh cache and its builder processes."""
