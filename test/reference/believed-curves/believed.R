# What is believed of a response curve after the strips, by weighing millions of curves drawn from the stated priors: no
# grid, base R only. Rscript believed.R > case.json     (reads ../rate-response)
suppressPackageStartupMessages(library(jsonlite))
set.seed(20271)
draws <- 2e6; chunk <- 2e4
# The stated priors (`settings.ts`) and shapes (`model/forms/believable-curve.ts`).
spreads <- c(0, 0.06, 0.12, 0.2)
between <- c(0.03, 0.08, 0.15, 0.25, 0.4)
rise <- list(function(u) pmin(u - 1, 0) / 0.4, function(u) -(pmin(u - 1, 0) / 0.4)^2, function(u) -((u - 1) / 0.4)^2,
  function(u) -exp(-3.2 * (u - 0.6)))
fall <- function(u, shoulder) -(pmax(u - 1 - shoulder, 0) / 0.5)^2
half_normal <- function(x, sd) exp(-0.5 * (x / sd)^2)
# Normal between two limits.
between_limits <- function(n, mean, sd, low, high) {
  a <- pnorm((low - mean) / sd); b <- pnorm((high - mean) / sd)
  pmin(pmax(mean + sd * qnorm(a + runif(n) * (b - a)), low), high)
}
draw_curves <- function(n, need, low, high) {
  axis <- log(c(0.35 * low, 2.5 * high))
  centre <- between_limits(n, log(need), sqrt(0.3^2 - 0.15^2), axis[1], axis[2])
  sd <- sample(between, n, TRUE, half_normal(between, 0.15))
  shape <- sample(4, n, TRUE, c(0.2, 0.3, 0.2, 0.3))
  declines <- shape != 3 & runif(n) < 0.5
  data.frame(need = exp(between_limits(n, centre, sd, axis[1], axis[2])), shape = shape,
    spread = sample(spreads, n, TRUE, half_normal(spreads, 0.1)),
    loss = exp(between_limits(n, log(0.06), 1, log(0.003), log(0.7))),
    decline = ifelse(declines, exp(between_limits(n, log(0.04), 1, log(0.01), log(0.5))), 0),
    shoulder = sample(c(0, 0.2, 0.5), n, TRUE))
}
# One row a curve, one column a rate.
curve_at <- function(curves, rates, shift) {
  u <- outer(exp(-shift) / curves$need, rates)
  f <- matrix(0, nrow(u), ncol(u))
  for (s in 1:4) { own <- curves$shape == s; f[own, ] <- curves$loss[own] * rise[[s]](u[own, , drop = FALSE]) }
  f + curves$decline * fall(u, curves$shoulder)
}
nodes <- seq(-3, 3, length.out = 25); node_weights <- dnorm(nodes) / sum(dnorm(nodes))
# Strips of one environment: shares of the mean, block levels taken off.
environment_of <- function(g) {
  d <- do.call(rbind, lapply(g$strips, function(z) data.frame(block = paste0("b", z[[1]]), rate = z[[2]], yield = z[[3]])))
  y <- d$yield / mean(d$yield) - 1
  blocks <- if (length(unique(d$block)) > 1) model.matrix(~ 0 + block, d) else matrix(1, nrow(d), 1)
  off <- function(m) qr.resid(qr(blocks), m)
  rates <- sort(unique(d$rate)); at <- outer(d$rate, rates, "==") * 1
  degrees <- nrow(d) - ncol(blocks); full <- min(length(rates) - 1, 4)
  power <- if (degrees >= 2 * full) full else min(2, full)
  left <- qr.resid(qr(cbind(blocks, poly(d$rate, power))), y)
  list(rates = rates, counts = colSums(at), mean = mean(d$yield), strips = nrow(d), degrees = degrees, total = sum(off(y)^2),
    cross = drop(crossprod(at, off(y))), weight = crossprod(off(at)),
    residual = c(degrees - power, sum(left^2)))
}
log_likelihood <- function(e, f, error) {
  ss <- if (is.null(f)) e$total else pmax(0, e$total - 2 * drop(f %*% e$cross) + rowSums((f %*% e$weight) * f))
  -(error["degrees"] + e$degrees) / 2 * log1p(ss / error["ss"])
}
believe <- function(set, groups, need, pattern) {
  environments <- lapply(groups, environment_of)
  # The fields of a season share how it moves the need; a group is named season | site | variety.
  seasons <- split(environments, vapply(groups, function(g) sub(" .*", "", g$name), ""))
  residual <- Reduce(`+`, lapply(environments, `[[`, "residual"))
  error <- c(degrees = 8, ss = 8 * unname(residual[2] + 4 * 0.05^2) / unname(residual[1] + 4))
  tested <- sort(unique(unlist(lapply(environments, `[[`, "rates"))))
  middle <- sqrt(min(tested) * max(tested))
  none <- sum(vapply(environments, log_likelihood, 0, f = NULL, error = error))
  sums <- NULL
  for (i in seq_len(draws / chunk)) {
    curves <- draw_curves(chunk, need, min(need, middle), max(need, middle))
    log_weight <- numeric(chunk)
    for (fields in seasons) {
      here <- 0
      for (k in seq_along(nodes)) {
        all_fields <- 0
        for (e in fields) all_fields <- all_fields +
          log_likelihood(e, curve_at(curves, e$rates, nodes[k] * curves$spread), error) - log_likelihood(e, NULL, error)
        here <- here + node_weights[k] * exp(all_fields)
      }
      log_weight <- log_weight + log(here)
    }
    weight <- exp(log_weight)
    mean_curve <- 0
    for (k in seq_along(nodes)) mean_curve <- mean_curve + node_weights[k] * curve_at(curves, tested, nodes[k] * curves$spread)
    gains <- mean_curve[, -1, drop = FALSE] - mean_curve[, 1]
    told <- cbind(1, gains, log(curves$need), log(curves$need)^2)
    sums <- rbind(sums, c(colSums(weight * told), sum(weight^2)))
  }
  # Without a response weighs 0.1 of the prior, at the likelihood that all weights were divided by.
  total <- colSums(sums); n <- draws; m <- length(tested) - 1
  respond <- 0.9 * total[1] / n; chance_none <- 0.1 / (0.1 + respond)
  expected <- function(s) (1 - 0.1 / (0.1 + 0.9 * s[1] / n)) * s[1 + 1:m] / s[1]
  # Standard errors from groups of chunks.
  group <- rep(1:20, length.out = nrow(sums))
  parts <- t(sapply(1:20, function(g) expected(colSums(sums[group == g, ]) * 20)))
  log_need <- total[m + 2] / total[1]
  list(set = set, variety = pattern, needSeedsPerM2 = need, environments = length(environments),
    ratesSeedsPerM2 = tested, expectedGain = unname(expected(total)),
    standardErrors = unname(apply(parts, 2, sd) / sqrt(20)), chanceOfNone = unname(chance_none),
    meanLogNeed = unname(log_need), sdLogNeed = sqrt(unname(total[m + 3] / total[1] - log_need^2)),
    effectiveDraws = unname(total[1]^2 / total[m + 4]))
}
read_groups <- function(file, set, pattern) {
  s <- Filter(function(z) z$name == set, fromJSON(file.path("../rate-response", file), simplifyVector = FALSE)$sets)[[1]]
  Filter(function(g) grepl(pattern, g$name), s$groups)
}
cat(toJSON(list(
  name = "Expected response after the strips, weighed over curves drawn from the stated priors",
  howObtained = paste0(R.version.string, ", base functions: believed.R, ", draws, " draws a case"),
  licence = "as ../rate-response",
  expectedGain = "of each rate over the lowest, as a share of the mean yield, in a season to come",
  cases = list(
    believe("gomez_seedrate", read_groups("case.json", "gomez_seedrate", "all"), 90, "all"),
    believe("verbyla_lupin", read_groups("verbyla_lupin.json", "verbyla_lupin", "1991.*Merrit"), 45,
      "1991.*Merrit"),
    believe("verbyla_lupin", read_groups("verbyla_lupin.json", "verbyla_lupin", "Wongan.*Danja"), 45, "Wongan.*Danja")
  )), digits = NA, auto_unbox = TRUE, pretty = TRUE))
