// Reads a 3MF file with lib3mf, the reference reader of the 3MF Consortium
// (Debian package lib3mf-dev, version 1.8), and prints what it found, a line
// each, words apart by tabs. For the tests of package solid.
#include <cstdio>
#include <string>

#include "Model/COM/NMR_DLLInterfaces.h"

using namespace NMR;

static void check(LIB3MFRESULT result, const char* what) {
  if (result != LIB3MF_OK) {
    std::printf("error\t%s\t%lx\n", what, (unsigned long)result);
    std::exit(1);
  }
}

int main(int argc, char** argv) {
  if (argc != 2) return 2;
  PLib3MFModel* model;
  PLib3MFModelReader* reader;
  check(lib3mf_createmodel(&model), "create");
  check(lib3mf_model_queryreader(model, "3mf", &reader), "reader");
  check(lib3mf_reader_setstrictmodeactive(reader, 1), "strict");
  check(lib3mf_reader_readfromfileutf8(reader, argv[1]), "read");

  DWORD count, unit, code;
  ULONG needed;
  char text[1024];
  check(lib3mf_reader_getwarningcount(reader, &count), "warnings");
  for (DWORD i = 0; i < count; i++) {
    check(lib3mf_reader_getwarningutf8(reader, i, &code, text, sizeof text, &needed), "warning");
    std::printf("warning\t%s\n", text);
  }
  check(lib3mf_model_getunit(model, &unit), "unit");
  std::printf("unit\t%u\n", (unsigned)unit);
  check(lib3mf_model_getmetadatacount(model, &count), "metadata");
  for (DWORD i = 0; i < count; i++) {
    check(lib3mf_model_getmetadatakeyutf8(model, i, text, sizeof text, &needed), "key");
    std::string key(text);
    check(lib3mf_model_getmetadatavalueutf8(model, i, text, sizeof text, &needed), "value");
    std::printf("metadata\t%s\t%s\n", key.c_str(), text);
  }

  PLib3MFModelResourceIterator* objects;
  check(lib3mf_model_getmeshobjects(model, &objects), "objects");
  for (BOOL more; lib3mf_resourceiterator_movenext(objects, &more) == LIB3MF_OK && more;) {
    PLib3MFModelResource* object;
    check(lib3mf_resourceiterator_getcurrent(objects, &object), "object");
    check(lib3mf_object_getnameutf8(object, text, sizeof text, &needed), "name");
    BOOL valid, closed;
    DWORD vertices, triangles, group, material;
    check(lib3mf_object_isvalidobject(object, &valid), "valid");
    check(lib3mf_meshobject_ismanifoldandoriented(object, &closed), "manifold");
    check(lib3mf_meshobject_getvertexcount(object, &vertices), "vertices");
    check(lib3mf_meshobject_gettrianglecount(object, &triangles), "triangles");
    double volume = 0;  // mm3, by the divergence theorem
    for (DWORD i = 0; i < triangles; i++) {
      MODELMESHTRIANGLE t;
      MODELMESHVERTEX v[3];
      check(lib3mf_meshobject_gettriangle(object, i, &t), "triangle");
      for (int k = 0; k < 3; k++)
        check(lib3mf_meshobject_getvertex(object, t.m_nIndices[k], &v[k]), "vertex");
      double a[3], b[3], c[3];
      for (int k = 0; k < 3; k++) {
        a[k] = v[0].m_fPosition[k];
        b[k] = v[1].m_fPosition[k];
        c[k] = v[2].m_fPosition[k];
      }
      volume += (a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) +
                 a[2] * (b[0] * c[1] - b[1] * c[0])) / 6;
    }
    std::string name(text), word = "none";
    PLib3MFDefaultPropertyHandler* properties;
    check(lib3mf_object_createdefaultpropertyhandler(object, &properties), "properties");
    check(lib3mf_defaultpropertyhandler_getbasematerial(properties, &group, &material), "base material");
    if (group != 0) {
      PLib3MFModelBaseMaterial* materials;
      check(lib3mf_model_getbasematerialbyid(model, group, &materials), "materials");
      check(lib3mf_basematerial_getnameutf8(materials, material, text, sizeof text, &needed), "material");
      word = text;
    }
    std::printf("object\t%s\t%d\t%d\t%u\t%u\t%.6f\t%s\n", name.c_str(), (int)valid, (int)closed,
                (unsigned)vertices, (unsigned)triangles, volume, word.c_str());
  }

  PLib3MFModelBuildItemIterator* items;
  check(lib3mf_model_getbuilditems(model, &items), "items");
  unsigned built = 0;
  for (BOOL more; lib3mf_builditemiterator_movenext(items, &more) == LIB3MF_OK && more;) built++;
  std::printf("items\t%u\n", built);
  return 0;
}
