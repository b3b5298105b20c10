// The tree in Pinocchio, timed: its own headers, every joint of the kind that is fastest for it.
//
// "pin": one joint of a fixed coordinate axis for each coordinate (for a negative axis the frame is
// turned by half a turn), so the coordinates are the same as ours. "pin, multi-axis joints": a free
// flyer, spherical joints and the knee and ankle axes: other coordinates (quaternions, no sines to
// take at hips, shoulders and trunk), as somebody would who may choose them; only the time compares.
#include "loop.hpp"
#include <pinocchio/algorithm/center-of-mass.hpp>
#include <pinocchio/algorithm/crba.hpp>
#include <pinocchio/algorithm/joint-configuration.hpp>
#include <pinocchio/algorithm/kinematics.hpp>
#include <pinocchio/algorithm/rnea.hpp>
#include <pinocchio/multibody.hpp>

namespace pin = pinocchio;
using Vec3 = Eigen::Vector3d;
using Mat3 = Eigen::Matrix3d;

struct Segment { int parent; Vec3 offset; double mass; Vec3 centre; Mat3 inertia; };
struct Joint { int segment; bool slides; Vec3 axis; };
struct Tree { std::vector<Segment> segments; std::vector<Joint> joints; };

static Tree read_tree(const std::string &path) {
  std::ifstream in(path);
  int ns, nj;
  in >> ns >> nj;
  Tree t;
  auto vec = [&] { Vec3 v; in >> v[0] >> v[1] >> v[2]; return v; };
  for (int s = 0; s < ns; s++) {
    Segment g;
    in >> g.parent;
    g.offset = vec();
    in >> g.mass;
    g.centre = vec();
    for (int i = 0; i < 3; i++) for (int j = 0; j < 3; j++) in >> g.inertia(i, j);
    t.segments.push_back(g);
  }
  for (int j = 0; j < nj; j++) {
    Joint g;
    in >> g.segment >> g.slides;
    g.axis = vec();
    t.joints.push_back(g);
  }
  return t;
}

struct Built { pin::Model model; std::vector<int> order; };

// Half a turn that takes a negative axis to the positive one.
static Mat3 flip(const Vec3 &axis) {
  if (axis.sum() > 0) return Mat3::Identity();
  return axis[2] != 0 ? Vec3(1, -1, -1).asDiagonal().toDenseMatrix() : Vec3(-1, -1, 1).asDiagonal().toDenseMatrix();
}

static Built single_axes(const Tree &t) {
  Built b;
  b.model.gravity.linear(Vec3(0, -9.81, 0));
  std::vector<int> last(t.segments.size());
  std::vector<Mat3> frame(t.segments.size());
  std::vector<int> stack{0};
  while (!stack.empty()) {
    int s = stack.back();
    stack.pop_back();
    const Segment &g = t.segments[s];
    int parent = g.parent < 0 ? 0 : last[g.parent];
    Mat3 before = g.parent < 0 ? Mat3(Mat3::Identity()) : frame[g.parent];
    Vec3 offset = before.transpose() * g.offset;
    for (int i = 0; i < (int)t.joints.size(); i++) {
      const Joint &j = t.joints[i];
      if (j.segment != s) continue;
      Mat3 now = flip(j.axis);
      pin::SE3 place(before.transpose() * now, offset);
      auto name = std::to_string(i);
      int axis = j.axis[0] != 0 ? 0 : j.axis[1] != 0 ? 1 : 2;
      auto add = [&](const pin::JointModel &m) { parent = b.model.addJoint(parent, m, place, name); };
      if (j.slides) {
        if (axis == 0) add(pin::JointModelPX()); else if (axis == 1) add(pin::JointModelPY()); else add(pin::JointModelPZ());
      } else {
        if (axis == 0) add(pin::JointModelRX()); else if (axis == 1) add(pin::JointModelRY()); else add(pin::JointModelRZ());
      }
      b.order.push_back(i);
      before = now;
      offset.setZero();
    }
    b.model.appendBodyToJoint(parent, pin::Inertia(g.mass, g.centre, g.inertia),
                              pin::SE3(Mat3(before.transpose()), Vec3::Zero()));
    last[s] = parent;
    frame[s] = before;
    for (int c = (int)t.segments.size() - 1; c > s; c--) if (t.segments[c].parent == s) stack.push_back(c);
  }
  return b;
}

static Built many_axes(const Tree &t) {
  Built b;
  b.model.gravity.linear(Vec3(0, -9.81, 0));
  std::vector<int> last(t.segments.size());
  std::vector<int> stack{0};
  while (!stack.empty()) {
    int s = stack.back();
    stack.pop_back();
    const Segment &g = t.segments[s];
    int parent = g.parent < 0 ? 0 : last[g.parent];
    std::vector<const Joint *> own;
    for (const Joint &j : t.joints) if (j.segment == s) own.push_back(&j);
    pin::SE3 place(Mat3(Mat3::Identity()), g.offset);
    auto name = std::to_string(s);
    if (own.size() == 6) parent = b.model.addJoint(parent, pin::JointModelFreeFlyer(), place, name);
    else if (own.size() == 3) parent = b.model.addJoint(parent, pin::JointModelSpherical(), place, name);
    else
      for (const Joint *j : own) {
        auto more = name + "." + std::to_string(b.model.njoints);
        if (j->axis[0] != 0) parent = b.model.addJoint(parent, pin::JointModelRX(), place, more);
        else if (j->axis[1] != 0) parent = b.model.addJoint(parent, pin::JointModelRY(), place, more);
        else parent = b.model.addJoint(parent, pin::JointModelRZ(), place, more);
        place.setIdentity();
      }
    b.model.appendBodyToJoint(parent, pin::Inertia(g.mass, g.centre, g.inertia), pin::SE3::Identity());
    last[s] = parent;
    for (int c = (int)t.segments.size() - 1; c > s; c--) if (t.segments[c].parent == s) stack.push_back(c);
  }
  return b;
}

static void run(const char *engine, const pin::Model &model, const std::vector<Eigen::VectorXd> &q,
                const std::vector<Eigen::VectorXd> &v, const std::vector<Eigen::VectorXd> &a, int rounds) {
  pin::Data data(model);
  int n = (int)q.size();
  timed(engine, "positions", n, rounds, [&](int k) {
    pin::forwardKinematics(model, data, q[k]);
    return data.oMi.back().translation()[1];
  });
  timed(engine, "motion", n, rounds, [&](int k) {
    pin::forwardKinematics(model, data, q[k], v[k], a[k]);
    return data.a.back().linear()[1];
  });
  timed(engine, "inverse dynamics", n, rounds, [&](int k) { return pin::rnea(model, data, q[k], v[k], a[k]).sum(); });
  timed(engine, "mass matrix", n, rounds, [&](int k) {
    return pin::crba(model, data, q[k], pin::Convention::WORLD).diagonal().sum();
  });
}

int main(int, char **argv) {
  std::string folder = argv[1];
  int rounds = std::stoi(argv[2]);
  Tree tree = read_tree(folder + "/tree.txt");
  int n = (int)tree.joints.size();
  auto states = read_states(folder + "/states.txt", n);
  std::vector<Eigen::VectorXd> q, v, a;
  {
    Built b = single_axes(tree);
    auto sorted = [&](const std::vector<double> &x) {
      Eigen::VectorXd y(n);
      for (int i = 0; i < n; i++) y[i] = x[b.order[i]];
      return y;
    };
    for (auto &s : states) q.push_back(sorted(s.q)), v.push_back(sorted(s.v)), a.push_back(sorted(s.a));
    run("pin", b.model, q, v, a, rounds);
  }
  Built b = many_axes(tree);
  for (auto &x : q) x = pin::integrate(b.model, pin::neutral(b.model), Eigen::VectorXd(x));
  run("pin, multi-axis joints", b.model, q, v, a, rounds);
}
