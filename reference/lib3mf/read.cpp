// Reads the 3MF files named on the command line with lib3mf, strictly, and prints for each: unit (1 is millimetre), build items, warnings, whether the
// mesh is manifold and oriented, the number of corners and triangles, and then all of them. First line: the library's version.
#include <cstdio>
#include <Model/COM/NMR_DLLInterfaces.h>

using namespace NMR;

static int fail(const char* what, const char* file) {
  fprintf(stderr, "%s: %s\n", file, what);
  return 1;
}

int main(int n, char** files) {
  DWORD a, b, c;
  if (lib3mf_getinterfaceversion(&a, &b, &c) != 0) return fail("no version", "lib3mf");
  printf("lib3mf %u.%u.%u\n", unsigned(a), unsigned(b), unsigned(c));
  for (int i = 1; i < n; i++) {
    PLib3MFModel* model;
    PLib3MFModelReader* reader;
    if (lib3mf_createmodel(&model) || lib3mf_model_queryreader(model, "3mf", &reader)) return fail("no model", files[i]);
    if (lib3mf_reader_setstrictmodeactive(reader, true)) return fail("no strict mode", files[i]);
    if (lib3mf_reader_readfromfileutf8(reader, files[i])) return fail("not read", files[i]);
    DWORD warnings, unit, items = 0, corners, triangles;
    lib3mf_reader_getwarningcount(reader, &warnings);
    lib3mf_model_getunit(model, &unit);
    PLib3MFModelBuildItemIterator* plate;
    BOOL more;
    if (lib3mf_model_getbuilditems(model, &plate)) return fail("no build", files[i]);
    while (!lib3mf_builditemiterator_movenext(plate, &more) && more) items++;
    PLib3MFModelResourceIterator* meshes;
    PLib3MFModelMeshObject* mesh;
    if (lib3mf_model_getmeshobjects(model, &meshes) || lib3mf_resourceiterator_movenext(meshes, &more) || !more ||
        lib3mf_resourceiterator_getcurrent(meshes, (PLib3MFModelResource**)&mesh))
      return fail("no mesh", files[i]);
    BOOL whole;
    if (lib3mf_meshobject_ismanifoldandoriented(mesh, &whole) || lib3mf_meshobject_getvertexcount(mesh, &corners) ||
        lib3mf_meshobject_gettrianglecount(mesh, &triangles))
      return fail("no counts", files[i]);
    printf("%u %u %u %d %u %u\n", unsigned(unit), unsigned(items), unsigned(warnings), int(whole), unsigned(corners), unsigned(triangles));
    for (DWORD k = 0; k < corners; k++) {
      MODELMESHVERTEX v;
      lib3mf_meshobject_getvertex(mesh, k, &v);
      printf("%.9g %.9g %.9g\n", v.m_fPosition[0], v.m_fPosition[1], v.m_fPosition[2]);
    }
    for (DWORD k = 0; k < triangles; k++) {
      MODELMESHTRIANGLE t;
      lib3mf_meshobject_gettriangle(mesh, k, &t);
      printf("%u %u %u\n", unsigned(t.m_nIndices[0]), unsigned(t.m_nIndices[1]), unsigned(t.m_nIndices[2]));
    }
    lib3mf_release(reader);
    lib3mf_release(model);
  }
  return 0;
}
