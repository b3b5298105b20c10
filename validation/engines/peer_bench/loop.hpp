// Times a call over all states: many rounds, the median and the least of a round, in ns for one state.
#pragma once
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <fstream>
#include <string>
#include <vector>

struct State { std::vector<double> q, v, a; };

inline std::vector<State> read_states(const std::string &path, int n) {
  std::ifstream in(path);
  std::vector<State> out;
  std::vector<double> row(3 * n);
  for (;;) {
    for (double &x : row) in >> x;
    if (!in) return out;
    out.push_back({{row.begin(), row.begin() + n},
                   {row.begin() + n, row.begin() + 2 * n},
                   {row.begin() + 2 * n, row.end()}});
  }
}

// `call(k)` computes state k and returns a number that depends on the result.
template <class Call>
void timed(const char *engine, const char *what, int states, int rounds, Call call) {
  std::vector<double> ns;
  double sum = 0;
  for (int r = 0; r < rounds; r++) {
    sum = 0;
    auto start = std::chrono::steady_clock::now();
    for (int k = 0; k < states; k++) sum += call(k);
    std::chrono::duration<double, std::nano> took = std::chrono::steady_clock::now() - start;
    ns.push_back(took.count() / states);
  }
  std::sort(ns.begin(), ns.end());
  std::printf("%s\t%s\t%.1f\t%.1f\t%.17g\n", engine, what, ns[ns.size() / 2], ns[0], sum);
  std::fflush(stdout);
}
