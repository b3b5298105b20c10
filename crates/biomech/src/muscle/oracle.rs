//! The sharing of muscles beside a general conic solver that knows nothing of its dual.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettings, DefaultSolver, IPSolver, NonnegativeConeT, PowerConeT, SolverStatus, SupportedConeT,
    ZeroConeT,
};

use super::sharing::tests::{Numbers, leg};
use super::sharing::{Power, Shares};
use super::units::{DOF, UNITS};

/// Variables: shares, reserve in units of its strength, and for cubes a bound `t ≥ a³` on each.
fn ask(full: &[[f64; UNITS]; DOF], moment: &[f64; DOF], reserve: &[f64; DOF], power: Power) -> Vec<f64> {
    let cubes = power == Power::Cubes;
    let variables = UNITS + DOF + if cubes { UNITS } else { 0 };
    let mut quadratic = vec![vec![0.0; variables]; variables];
    for (k, row) in quadratic.iter_mut().enumerate() {
        row[k] = match (k < UNITS, k < UNITS + DOF) {
            (true, _) => f64::from(u8::from(!cubes)),
            (false, true) => 1.0,
            _ => 0.0,
        };
    }
    let linear: Vec<f64> = (0..variables).map(|k| if k < UNITS + DOF { 0.0 } else { 1.0 / 3.0 }).collect();
    let (mut rows, mut right) = (Vec::new(), Vec::new());
    for j in 0..DOF {
        let mut row = vec![0.0; variables];
        row[..UNITS].copy_from_slice(&full[j]);
        row[UNITS + j] = reserve[j];
        rows.push(row);
        right.push(moment[j]);
    }
    let minus = |k: usize| {
        let mut row = vec![0.0; variables];
        row[k] = -1.0;
        row
    };
    for k in 0..UNITS {
        rows.push(minus(k));
        right.push(0.0);
    }
    let mut cones: Vec<SupportedConeT<f64>> = vec![ZeroConeT(DOF), NonnegativeConeT(UNITS)];
    if cubes {
        for k in 0..UNITS {
            rows.extend([minus(UNITS + DOF + k), vec![0.0; variables], minus(k)]);
            right.extend([0.0, 1.0, 0.0]);
            cones.push(PowerConeT(1.0 / 3.0));
        }
    }
    let settings = DefaultSettings {
        verbose: false,
        tol_gap_abs: 1e-11,
        tol_gap_rel: 1e-11,
        tol_feas: 1e-11,
        ..Default::default()
    };
    let mut solver = DefaultSolver::new(
        &CscMatrix::from(&quadratic),
        &linear,
        &CscMatrix::from(&rows),
        &right,
        &cones,
        settings,
    )
    .unwrap();
    solver.solve();
    let status = solver.solution.status;
    assert!(matches!(status, SolverStatus::Solved | SolverStatus::AlmostSolved), "{status:?}");
    solver.solution.x[..UNITS].to_vec()
}

/// 40 postures and moments: the same shares, to the accuracy the conic solver reaches.
#[test]
fn a_general_conic_solver_shares_the_same() {
    let mut numbers = Numbers(3);
    for _ in 0..40 {
        let (full, moment) = leg(&mut numbers);
        let reserve = [2.0, 1.0, 0.4, 2.0, 1.2, 0.25];
        let problem = Shares { full: &full, moment: &moment, reserve: &reserve };
        for (power, tolerance) in [(Power::Squares, 1e-7), (Power::Cubes, 1e-4)] {
            let mut ours = [0.0; UNITS];
            let _ = problem.solve(power, None, &mut ours);
            let theirs = ask(&full, &moment, &reserve, power);
            let largest = ours.iter().copied().fold(0.0, f64::max);
            for (u, (a, b)) in ours.iter().zip(&theirs).enumerate() {
                let off = (a - b).abs() / largest;
                assert!(off < tolerance, "{power:?}, unit {u}: {a} and {b}, off by {off} of the largest");
            }
        }
    }
}
