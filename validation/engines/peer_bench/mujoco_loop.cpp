// The tree in MuJoCo, timed: only the stages that each quantity needs.
#include "loop.hpp"
#include <mujoco/mujoco.h>

int main(int, char **argv) {
  std::string folder = argv[1];
  int rounds = std::stoi(argv[2]);
  char error[1000];
  mjModel *m = mj_loadXML((folder + "/tree.xml").c_str(), nullptr, error, sizeof error);
  if (!m) {
    std::fprintf(stderr, "%s\n", error);
    return 1;
  }
  mjData *d = mj_makeData(m);
  int n = (int)m->nv;
  auto states = read_states(folder + "/states.txt", n);
  std::vector<int> order(n);
  for (int i = 0; i < n; i++)
    order[i] = m->jnt_dofadr[mj_name2id(m, mjOBJ_JOINT, ("c" + std::to_string(i)).c_str())];
  auto sorted = [&](std::vector<double> &x) {
    std::vector<double> y(n);
    for (int i = 0; i < n; i++) y[order[i]] = x[i];
    x = y;
  };
  for (auto &s : states) sorted(s.q), sorted(s.v), sorted(s.a);
  std::vector<double> result(n);
  int count = (int)states.size();
  auto place = [&](int k) { std::copy(states[k].q.begin(), states[k].q.end(), d->qpos); };
  auto move = [&](int k) {
    place(k);
    std::copy(states[k].v.begin(), states[k].v.end(), d->qvel);
    std::copy(states[k].a.begin(), states[k].a.end(), d->qacc);
  };
  timed("mujoco", "positions", count, rounds, [&](int k) {
    place(k);
    mj_kinematics(m, d);
    return d->xpos[3 * (m->nbody - 1) + 1];
  });
  timed("mujoco", "inverse dynamics", count, rounds, [&](int k) {
    move(k);
    mj_kinematics(m, d);
    mj_comPos(m, d);
    mj_comVel(m, d);
    mj_rne(m, d, 1, result.data());
    double sum = 0;
    for (double x : result) sum += x;
    return sum;
  });
  timed("mujoco", "inverse dynamics, own entry", count, rounds, [&](int k) {
    move(k);
    mj_inverse(m, d);
    double sum = 0;
    for (int i = 0; i < n; i++) sum += d->qfrc_inverse[i];
    return sum;
  });
  timed("mujoco", "mass matrix", count, rounds, [&](int k) {
    place(k);
    mj_kinematics(m, d);
    mj_comPos(m, d);
    mj_crb(m, d);
    return d->crb[0];
  });
}
