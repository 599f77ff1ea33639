// Distances between pairs of convex shapes by the Flexible Collision Library, as a second opinion on package solid.
//
// In, on standard input: the number of pairs, then for each pair two shapes and a length. A shape is a word, its sizes, and its place:
//   box x y z PLACE | cylinder radius length PLACE | capsule radius length PLACE | hull n then n corners, m then m faces of k corners each
// PLACE is the position and nine numbers of a rotation, row by row; cylinders and capsules lie along their own z. The length is taken
// off the distance: the rounding of both shapes.
// Out: one line for each pair: the distance by FCL's own solver and by libccd's; a negative number says that the shapes meet.
#include <cstdio>
#include <iostream>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include <fcl/config.h>
#include <fcl/fcl.h>

using Shape = std::shared_ptr<fcl::CollisionGeometryd>;

static double number() {
  double v;
  if (!(std::cin >> v)) throw std::runtime_error("the input ends too early");
  return v;
}

static fcl::Transform3d place() {
  fcl::Transform3d t = fcl::Transform3d::Identity();
  for (int i = 0; i < 3; i++) t.translation()[i] = number();
  fcl::Matrix3d r;
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) r(i, j) = number();
  t.linear() = r;
  return t;
}

static fcl::CollisionObjectd shape() {
  std::string word;
  if (!(std::cin >> word)) throw std::runtime_error("the input ends too early");
  if (word == "box") {
    double x = number(), y = number(), z = number();
    return {Shape(new fcl::Boxd(x, y, z)), place()};
  }
  if (word == "cylinder" || word == "capsule") {
    double r = number(), l = number();
    Shape s;
    if (word == "cylinder") s.reset(new fcl::Cylinderd(r, l));
    else s.reset(new fcl::Capsuled(r, l));
    return {s, place()};
  }
  if (word == "hull") {
    auto corners = std::make_shared<std::vector<fcl::Vector3d>>();
    for (int n = int(number()); n > 0; n--) {
      double x = number(), y = number(), z = number();
      corners->emplace_back(x, y, z);
    }
    auto faces = std::make_shared<std::vector<int>>();
    int m = int(number());
    for (int i = 0; i < m; i++) {
      int k = int(number());
      faces->push_back(k);
      for (; k > 0; k--) faces->push_back(int(number()));
    }
    return {Shape(new fcl::Convexd(corners, m, faces)), fcl::Transform3d::Identity()};
  }
  throw std::runtime_error("unknown shape " + word);
}

static double distance(const fcl::CollisionObjectd& a, const fcl::CollisionObjectd& b, fcl::GJKSolverType solver) {
  fcl::DistanceRequestd request;
  request.enable_nearest_points = true;
  request.distance_tolerance = 1e-9;
  request.gjk_solver_type = solver;
  fcl::DistanceResultd result;
  return fcl::distance(&a, &b, request, result);
}

int main() try {
  std::ios::sync_with_stdio(false);
  int pairs = int(number());
  std::printf("FCL %s\n", FCL_VERSION);
  for (int i = 0; i < pairs; i++) {
    auto a = shape();
    auto b = shape();
    double off = number();
    double own = distance(a, b, fcl::GST_INDEP), ccd = distance(a, b, fcl::GST_LIBCCD);
    std::printf("%.17g %.17g\n", own < 0 ? own : own - off, ccd < 0 ? ccd : ccd - off);
  }
} catch (const std::exception& e) {
  std::cerr << e.what() << "\n";
  return 1;
}
