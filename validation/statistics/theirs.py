"""How other packages compute each kind of data set; every function hands pairs of figures to the tally.

Where a package has the statistic it is called; where none has it, it is built from a package's
distributions, roots or integrals by another way than ours. `BY` says which.
"""

import mpmath
import numpy as np
import pandas as pd
import pingouin
from scipy import integrate, signal, spatial, stats
from statsmodels.formula.api import ols
from statsmodels.stats.anova import anova_lm
from statsmodels.stats.inter_rater import cohens_kappa
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.proportion import proportion_confint
from statsmodels.stats.weightstats import DescrStatsW

BY = {
    "two-way mean squares": "statsmodels anova_lm",
    "six intraclass correlations": "pingouin",
    "their intervals": "pingouin, unrounded",
    "their F and p": "pingouin",
    "error of measurement, intervals, MDC": "statsmodels MSE, scipy chi2",
    "bias with interval": "scipy ttest_1samp",
    "limits of agreement, intervals": "scipy t, norm",
    "repeatability, zero-mean error": "numpy",
    "typical error, interval": "scipy chi2",
    "variation in per cent": "scipy chi2",
    "effect size, response mean, paired t": "scipy ttest_rel",
    "kappa, plain and weighted": "statsmodels cohens_kappa",
    "its standard error": "statsmodels cohens_kappa",
    "chance of a true change": "scipy norm",
    "the same with a prior": "scipy norm, precisions added",
    "true score, its variance, drift": "conditional normal, numpy",
    "ratio, delta interval": "scipy norm",
    "ratio, Fieller's limits": "numpy roots",
    "Sidak and Bonferroni quantiles": "statsmodels multipletests",
    "chance of any": "scipy binom",
    "largest of n normal values": "scipy quad",
    "place among many and among few": "scipy norm, t",
    "Clopper-Pearson interval": "statsmodels proportion_confint",
    "Wilson interval": "statsmodels proportion_confint",
    "Fisher's exact test": "scipy fisher_exact",
    "Kendall's tau-b": "scipy kendalltau",
    "variance of Mann-Kendall's S": "scipy kendalltau, from its p",
    "Mann-Kendall z and p": "scipy norm",
    "Theil-Sen slope and interval": "scipy theilslopes",
    "mean with interval": "scipy ttest_1samp, statsmodels",
    "limits of individual values": "numpy",
    "correlation with interval": "scipy pearsonr",
    "sway: path, distances, covariance": "numpy",
    "sway: ellipses, axis": "numpy eigh, scipy chi2, f",
    "sway: hull": "scipy ConvexHull",
    "low-pass filter, both ways": "scipy sosfiltfilt",
    "sway after the filter": "the same, filtered by scipy",
    "time to stabilisation": "numpy, searched from the end",
}
for _name in ["normal", "t", "chi2", "f", "beta"]:
    BY[f"{_name}: both tails"] = "scipy"
    BY[f"{_name}: both tails, 40 digits"] = "mpmath"
    BY[f"{_name}: quantile"] = "scipy isf"

NAMES = {
    "icc": "two-way mean squares",
    "pairs": "bias with interval",
    "kappa": "kappa, plain and weighted",
    "trend": "Kendall's tau-b",
    "mean": "mean with interval",
    "correlation": "correlation with interval",
}


def without_answer(line):
    """Whether the data set has no answer, seen in the data themselves."""
    alike = lambda values: np.ptp(values) <= 1e-12 * np.max(np.abs(values), initial=1e-300)
    if line["kind"] == "kappa":
        counts = np.array(line["counts"])
        return np.max(np.diag(counts)) == counts.sum()
    if line["kind"] == "icc":
        rows = np.array(line["rows"])
        rest = rows - rows.mean(1, keepdims=True) - rows.mean(0) + rows.mean()
        return np.max(np.abs(rest)) <= 1e-12 * np.max(np.abs(rows))
    if line["kind"] == "pairs":
        return alike(np.subtract(line["first"], line["second"])) or alike(line["first"])
    lists = {"trend": ["times", "values"], "mean": ["values"], "correlation": ["first", "second"]}
    return any(alike(line[name]) for name in lists.get(line["kind"], []))


def pair(interval):
    return [interval["lower"], interval["upper"]]


def correlations(long, k, forms, tally):
    found = pingouin.intraclass_corr(long, "person", "rater", "score")
    for form, label in zip(forms, ["ICC(1,1)", "ICC(A,1)", "ICC(C,1)", "ICC(1,k)", "ICC(A,k)", "ICC(C,k)"]):
        row = found[found["Type"] == label].iloc[0]
        if "refused" in form:
            tally.skip("six intraclass correlations", f"refused: {form['refused'].split(',')[0].split(':')[0]}")
            continue
        tally.add("six intraclass correlations", form["estimate"], row["ICC"], 1.0)
        tally.add("their F and p", form["f"], row["F"], 1.0)
        tally.add("their F and p", form["p"], row["pval"])
        limits = form["limits"]
        if limits == "unknown":
            tally.skip("their intervals", f"{label}: next to no degrees of freedom, ours gives none")
        elif "at_most" in limits:
            one = found[found["Type"] == "ICC(A,1)"].iloc[0]["CI95"][0]
            assert 1 + one * (k - 1) <= 0, "beyond the pole"
            tally.add("their intervals", limits["at_most"], row["CI95"][1], 1.0)
            tally.skip("their intervals", f"{label}: lower limit beyond the pole of its formula, ours gives none")
        else:
            tally.add("their intervals", pair(limits["between"]), row["CI95"], 1.0)


def icc(line, ours, tally):
    rows = np.array(line["rows"])
    n, k = rows.shape
    long = pd.DataFrame({
        "person": np.repeat(np.arange(n), k), "rater": np.tile(np.arange(k), n), "score": rows.ravel(),
    })
    table = anova_lm(ols("score ~ C(person) + C(rater)", long).fit(), typ=1)
    msr, msc, mse = table["mean_sq"].iloc[:3]
    msw = (table["sum_sq"].iloc[1] + table["sum_sq"].iloc[2]) / (n * (k - 1))
    scale = max(msr, msc, mse, msw)
    t = ours["table"]
    squares = [t["between_persons"], t["between_raters"], t["residual"], t["within_persons"]]
    tally.add("two-way mean squares", squares, [msr, msc, mse, msw], scale)
    if n * k < 5:
        tally.skip("six intraclass correlations", "four scores: pingouin wants five")
    else:
        correlations(long, k, ours["forms"], tally)
    name = "error of measurement, intervals, MDC"
    degrees, tail = (n - 1) * (k - 1), (1 - line["confidence"]) / 2
    spread = lambda s, v: [s * np.sqrt(v / stats.chi2.isf(tail, v)), s * np.sqrt(v / stats.chi2.ppf(tail, v))]
    sem = np.sqrt(mse)
    tally.add(name, [ours["consistency"]["sem"], *pair(ours["consistency"]["interval"])], [sem, *spread(sem, degrees)])
    tally.add(name, ours["mdc"]["change"], stats.norm.isf(tail) * np.sqrt(2) * sem)
    raters = max((msc - mse) / n, 0)
    both = np.sqrt(mse + raters)
    if raters > 0:
        degrees = both**4 / ((msc / n) ** 2 / (k - 1) + (mse * (n - 1) / n) ** 2 / degrees)
    if abs(msc - mse) <= 1e-9 * mse:
        tally.skip(name, "raters as far apart as the rest: the degrees of freedom of agreement jump there")
        return
    tally.add(name, [ours["agreement"]["sem"], *pair(ours["agreement"]["interval"])], [both, *spread(both, degrees)])


def pairs(line, ours, tally):
    first, second, confidence = np.array(line["first"]), np.array(line["second"]), line["confidence"]
    tail, n = (1 - confidence) / 2, len(first)
    d = first - second
    sd = d.std(ddof=1)
    test = stats.ttest_1samp(d, 0)
    low, high = test.confidence_interval(confidence)
    bias = ours["limits"]["bias"]
    tally.add("bias with interval", [bias["mean"], bias["sd"], *pair(bias["interval"])], [d.mean(), sd, low, high], sd)
    z, t = stats.norm.isf(tail), stats.t.isf(tail, n - 1)
    limits = d.mean() + np.array([-z, z]) * sd
    for key, error in [("limits", sd * np.sqrt(3 / n)), ("written_out", sd * np.sqrt(1 / n + z * z / (2 * n - 2)))]:
        got = ours[key]
        flat = [*pair(got["limits"]), *pair(got["of_lower"]), *pair(got["of_upper"])]
        want = [*limits, limits[0] - t * error, limits[0] + t * error, limits[1] - t * error, limits[1] + t * error]
        tally.add("limits of agreement, intervals", flat, want, sd)
    rms = np.sqrt(np.mean(d**2))
    tally.add("repeatability, zero-mean error", [ours["repeatability"], ours["zero_mean"]], [1.96 * rms, rms / np.sqrt(2)])
    spread = lambda s: [s, *(s * np.sqrt((n - 1) / stats.chi2.isf([tail, 1 - tail], n - 1)))]
    got = ours["typical"]
    tally.add("typical error, interval", [got["error"], *pair(got["interval"])], spread(sd / np.sqrt(2)))
    if np.min([first, second]) > 0:
        got = ours["percent"]
        want = 100 * np.expm1(spread(np.log(second / first).std(ddof=1) / np.sqrt(2)))
        tally.add("variation in per cent", [got["error"], *pair(got["interval"])], want, 1.0)
    got = ours["responsiveness"]
    test = stats.ttest_rel(second, first)
    want = [-d.mean() / first.std(ddof=1), -d.mean() / sd, test.statistic]
    tally.add("effect size, response mean, paired t", [got["effect_size"], got["standardised_response_mean"], got["t"]], want, 1.0)
    tally.add("effect size, response mean, paired t", got["p"], test.pvalue)


def kappa(line, ours, tally):
    for got, kind in zip(ours, [None, "linear", "quadratic"]):
        found = cohens_kappa(np.array(line["counts"]), wt=kind)
        tally.add("kappa, plain and weighted", got["kappa"], found.kappa, 1.0)
        if got["standard_error"] < 1e-7:
            tally.skip("its standard error", "nought (full agreement or one rater constant); theirs is rounding or NaN")
            continue
        half = stats.norm.isf((1 - line["confidence"]) / 2) * found.std_kappa
        want = [found.std_kappa, found.kappa - half, found.kappa + half]
        # Ours is cut at -1 and 1 for the reader; the formula is compared before that.
        tally.add("its standard error", [got["standard_error"], *pair(got["unclipped"])], want, 10.0)


def change(line, ours, tally):
    error = np.sqrt(2) * line["sem"]
    moved = line["after"] - line["before"] - line["practice"]
    tails = lambda mean, sd: [stats.norm.cdf(line["threshold"], mean, sd), stats.norm.sf(line["threshold"], mean, sd)]
    got = [ours["about"]["lower"], ours["about"]["upper"], ours["p"]]
    tally.add("chance of a true change", got, [*tails(moved, error), 2 * stats.norm.sf(abs(moved) / error)])
    tally.add("chance of a true change", ours["index"], moved / error, 1.0)
    precision = 1 / line["sd"] ** 2 + 1 / error**2
    mean = (line["mean"] / line["sd"] ** 2 + moved / error**2) / precision
    got = ours["shrunk"]
    tally.add("the same with a prior", [got["mean"], got["sd"]], [mean, precision**-0.5], error)
    got = ours["shrunk_about"]
    tally.add("the same with a prior", [got["lower"], got["upper"]], tails(mean, precision**-0.5))
    r, k, sd, x = line["reliability"], line["measurements"], line["sd"], line["before"]
    of_mean = sd**2 * (r + (1 - r) / k)
    slope = r * sd**2 / of_mean
    mean, rest = line["mean"] + slope * (x - line["mean"]), r * sd**2 - slope * r * sd**2
    score = ours["score"]
    got = [score["estimate"], ours["drift"]]
    tally.add("true score, its variance, drift", got, [mean, (1 - r) * (line["mean"] - x)], sd)
    got = [score["standard_error"] ** 2, score["retest_error"] ** 2]
    tally.add("true score, its variance, drift", got, [rest, rest + (1 - r) * sd**2], sd**2)
    a, b, s, z = x, line["after"], line["sem"], stats.norm.isf((1 - line["confidence"]) / 2)
    got = ours["ratio"]
    se = abs(a / b) * np.sqrt((s / a) ** 2 + (s / b) ** 2)
    tally.add("ratio, delta interval", [got["ratio"], got["standard_error"], *pair(got["delta"])],
              [a / b, se, a / b - z * se, a / b + z * se], abs(a / b))
    roots = np.roots([b * b - (z * s) ** 2, -2 * a * b, a * a - (z * s) ** 2])
    if np.iscomplexobj(roots):
        assert got["fieller"] == "any", got
        tally.skip("ratio, Fieller's limits", "every ratio fits: both say so")
    else:
        kind = "bounded" if b * b > (z * s) ** 2 else "all_but"
        tally.add("ratio, Fieller's limits", pair(got["fieller"][kind]), np.sort(roots), np.max(np.abs(roots)))


def many(line, ours, tally):
    m, alpha = line["m"], 1 - line["confidence"]
    for key, method in [("sidak", "sidak"), ("bonferroni", "bonferroni")]:
        each = 2 * stats.norm.sf(ours[key])
        tally.add("Sidak and Bonferroni quantiles", multipletests([each] * m, method=method)[1][0], alpha)
    tally.add("chance of any", ours["any"], stats.binom.sf(0, m, alpha))
    height = lambda z: m * z * stats.norm.pdf(z) * stats.norm.cdf(z) ** (m - 1)
    largest = sum(integrate.quad(height, a, a + 2, epsabs=1e-15, epsrel=1e-13)[0] for a in range(-12, 12, 2))
    tally.add("largest of n normal values", ours["best"], largest, 1.0)


def place(line, ours, tally):
    z = (line["x"] - line["mean"]) / line["sd"]
    n = line["n"]
    t = z / np.sqrt(1 + 1 / n)
    few, large = ours["few"]["share"], ours["many"]["share"]
    got = [large["lower"], large["upper"], few["lower"], few["upper"]]
    want = [stats.norm.cdf(z), stats.norm.sf(z), stats.t.cdf(t, n - 1), stats.t.sf(t, n - 1)]
    tally.add("place among many and among few", got, np.where(np.array(want) < 1e-290, got, want))


def share(line, ours, tally):
    for key, method, name in [("exact", "beta", "Clopper-Pearson interval"), ("wilson", "wilson", "Wilson interval")]:
        want = np.array(proportion_confint(line["hits"], line["of"], 1 - line["confidence"], method))
        tally.add(name, pair(ours[key]), want, 0.01)


def exact(line, ours, tally):
    found = stats.fisher_exact(np.reshape(line["table"], (2, 2)))
    tally.add("Fisher's exact test", ours["p"], found.pvalue)
    odds = ours["odds_ratio"]
    if odds == "undefined":
        assert np.isnan(found.statistic)
    elif odds == "infinite":
        assert np.isinf(found.statistic)
    else:
        tally.add("Fisher's exact test", odds["is"], found.statistic)


def trend(line, ours, tally):
    times, values = np.array(line["times"]), np.array(line["values"])
    got = ours["trend"]
    found = stats.kendalltau(times, values, method="asymptotic")
    tally.add("Kendall's tau-b", got["tau_b"], found.statistic, 1.0)
    if got["s"] == 0:
        tally.skip("variance of Mann-Kendall's S", "S is 0, and p says nothing of its variance")
    else:
        tally.add("variance of Mann-Kendall's S", got["variance"], (got["s"] / stats.norm.isf(found.pvalue / 2)) ** 2)
    s = sum(np.sign(values[i + 1 :] - values[i]) @ np.sign(times[i + 1 :] - times[i]) for i in range(len(times)))
    z = np.sign(s) * (abs(s) - 1) / np.sqrt(got["variance"]) if s else 0.0
    tally.add("Mann-Kendall z and p", got["z"], z, 1.0)
    tally.add("Mann-Kendall z and p", got["p"], 2 * stats.norm.sf(abs(z)))
    found = stats.theilslopes(values, times, line["confidence"])
    got = ours["slope"]
    want = [found.slope, found.low_slope, found.high_slope]
    tally.add("Theil-Sen slope and interval", [got["slope"], *pair(got["interval"])], want, np.max(np.abs(want)))
    tally.add("Theil-Sen slope and interval", got["intercept"], found.intercept, np.max(np.abs(values)))


def mean(line, ours, tally):
    values, confidence = np.array(line["values"]), line["confidence"]
    got = ours["mean"]
    for low, high in [stats.ttest_1samp(values, 0).confidence_interval(confidence),
                      DescrStatsW(values).tconfint_mean(1 - confidence)]:
        tally.add("mean with interval", [got["mean"], *pair(got["interval"])], [values.mean(), low, high], values.std())
    step = np.abs(np.diff(values)).mean()
    want = [step, values.mean() - 2.66 * step, values.mean() + 2.66 * step]
    tally.add("limits of individual values", [ours["chart"]["mean_step"], *pair(ours["chart"]["limits"])], want, step)


def correlation(line, ours, tally):
    found = stats.pearsonr(line["first"], line["second"])
    low, high = found.confidence_interval(line["confidence"])
    tally.add("correlation with interval", [ours["r"], *pair(ours["interval"])], [found.statistic, low, high], 1.0)


def exact_tails(line):
    """Lower and upper tail to 40 digits, each from its own integral."""
    mpmath.mp.dps = 40
    x, a, b = (mpmath.mpf(line[key]) for key in "xab")
    half = mpmath.mpf(1) / 2
    share = lambda p, q, at, rest: (
        mpmath.betainc(p, q, 0, at, regularized=True), mpmath.betainc(q, p, 0, rest, regularized=True))
    if line["of"] == "normal":
        return mpmath.erfc(-x / mpmath.sqrt(2)) / 2, mpmath.erfc(x / mpmath.sqrt(2)) / 2
    if line["of"] == "chi2":
        return (mpmath.gammainc(a / 2, 0, x / 2, regularized=True), mpmath.gammainc(a / 2, x / 2, regularized=True))
    if line["of"] == "f":
        return share(a / 2, b / 2, a * x / (a * x + b), b / (a * x + b))
    if line["of"] == "beta":
        return share(a, b, x, 1 - x)
    beyond = share(a / 2, half, a / (a + x * x), x * x / (a + x * x))[0] / 2
    return (1 - beyond, beyond) if x > 0 else (beyond, 1 - beyond)


def tails(line, ours, tally):
    name, x, p = line["of"], line["x"], line["p"]
    known = {
        "normal": stats.norm(), "t": stats.t(line["a"]), "chi2": stats.chi2(line["a"]),
        "f": stats.f(line["a"], line["b"]), "beta": stats.beta(line["a"], line["b"]),
    }[name]
    got = np.array([ours["lower"], ours["upper"]])
    want = np.array([known.cdf(x), known.sf(x)])
    if want.min() > 1e-290:
        tally.add(f"{name}: both tails", got, want)
    else:
        tally.skip(f"{name}: both tails", "a tail below 1e-290")
    want = np.array([float(tail) for tail in exact_tails(line)])
    if want.min() > 1e-290:
        tally.add(f"{name}: both tails, 40 digits", got, want)
    ours, scipy = ours["quantile"], known.isf(p)
    missed = lambda x: abs(exact_tails({**line, "x": x})[1] / p - 1)
    if abs(ours / scipy - 1) > 1e-9 and abs(p - 0.5) > 0.01 and missed(ours) < 1e-12 < missed(scipy):
        tally.skip(f"{name}: quantile", "scipy's is off: by 40 digits ours leaves the tail asked for, scipy's does not")
    else:
        tally.add(f"{name}: quantile", ours, scipy, 1e-3 if name in ("normal", "t") else 0.0)


def standing(ml, ap, rate, confidence):
    """Figures of sway in two groups and the hull."""
    n = len(ml)
    at = np.stack([ml - ml.mean(), ap - ap.mean()])
    away = np.hypot(*at)
    path = np.hypot(*np.diff(at)).sum()
    cov = np.cov(at)
    plain = [path, path / ((n - 1) / rate), away.mean(), np.sqrt((away**2).mean()), ml.std(), ap.std(),
             cov[0, 0], cov[0, 1], cov[1, 1]]
    values, vectors = np.linalg.eigh(cov)
    chi2 = stats.chi2.ppf(confidence, 2)
    root = np.sqrt(values[0] * values[1])
    exact = np.pi * 2 * (n + 1) * (n - 1) / (n * (n - 2)) * stats.f.ppf(confidence, 2, n - 2) * root
    ellipse = [np.pi * chi2 * root, exact, *np.sqrt(chi2 * values[::-1])]
    return plain, ellipse, vectors[:, 1], spatial.ConvexHull(at.T).volume


def sway(line, ours, tally):
    ml, ap, rate, confidence = np.array(line["ml"]), np.array(line["ap"]), line["rate"], line["confidence"]
    sections = signal.butter(line["order"], line["hz"], fs=rate, output="sos")
    # The continuation that sosfiltfilt takes by default, said outright: three samples for each of order + 1.
    smooth = [signal.sosfiltfilt(sections, v, padlen=3 * (line["order"] + 1)) for v in (ml, ap)]
    tally.add("low-pass filter, both ways", ours["filtered"], smooth[0], np.max(np.abs(ml)))
    for key, (a, b) in [("raw", (ml, ap)), ("smooth", smooth)]:
        plain, ellipse, axis, hull = standing(a, b, rate, confidence)
        got = ours[key]
        flat = [got["path"], got["mean_speed"], got["mean_distance"], got["rms_distance"], got["rms_ml"], got["rms_ap"],
                *got["covariance"]]
        e = got["ellipse"]
        round_ = [e["area"], e["area_exact"], *e["semi_axes"]]
        turn = np.radians(e["angle_deg"])
        if key == "raw":
            tally.add("sway: path, distances, covariance", flat, plain, plain[3] ** 2)
            tally.add("sway: ellipses, axis", round_, ellipse)
            across = axis @ [-np.sin(turn), np.cos(turn)]
            tally.add("sway: ellipses, axis", 1 + across, 1.0)
            tally.add("sway: hull", got["hull"], hull)
        else:
            tally.add("sway after the filter", [*flat, *round_, got["hull"]], [*plain, *ellipse, hull], plain[3] ** 2)


def landing(line, ours, tally):
    force, rate, weight = np.array(line["force"]), line["rate"], line["weight"]
    loaded = np.flatnonzero(force > line["contact"])
    name = "time to stabilisation"
    if loaded[0] == 0:
        assert ours == {"other": "loaded_from_the_start"}, ours
        tally.add(name, 0.0, 0.0)
        return
    inside = np.abs(force - weight) <= line["band"] * weight
    need = round(line["hold"] * rate) + 1
    answer = None
    for at in range(len(force) - need, loaded[0] - 1, -1):
        if inside[at : at + need].all():
            answer = at
    if answer is None:
        tally.add(name, ours["other"]["not_within"]["seconds"], (len(force) - 1 - loaded[0]) / rate)
    else:
        tally.add(name, [ours["after"], ours["contact"]], [(answer - loaded[0]) / rate, loaded[0] / rate], 1.0)


KINDS = {
    "icc": icc, "pairs": pairs, "kappa": kappa, "change": change, "many": many, "place": place, "share": share,
    "exact": exact, "trend": trend, "mean": mean, "correlation": correlation, "distribution": tails,
    "sway": sway, "landing": landing,
}
