# The three fitting stages of a practitioner's R workload on strips from standard input (CSV: env, variety, block, rate,
# yield): quadratic by lm, both plateau forms by nls from five starts. Writes seconds and residual sums as JSON.
d <- read.csv(file("stdin"), stringsAsFactors = TRUE); d$block <- factor(d$block)
gp <- split(d, interaction(d$env, d$variety, drop = TRUE)); tic <- function() proc.time()[["elapsed"]]
t0 <- tic(); q <- lapply(gp, function(z) { m <- lm(yield ~ block + rate + I(rate^2), z); summary(m)$coefficients; m }); t_quad <- tic() - t0
plateau <- function(z, qp) {
  best <- NULL; lo <- sort(unique(z$rate))[2]; hi <- max(z$rate); B <- model.matrix(~block, z)
  f <- if (qp) function(a, b, j) drop(B %*% a) + b * (pmin(z$rate, j) - pmin(z$rate, j)^2 / (2 * j)) else function(a, b, j) drop(B %*% a) + b * pmin(z$rate, j)
  for (s in seq(lo, hi, length.out = 5)) {
    t <- pmin(z$rate, s); if (qp) t <- t - t^2 / (2 * s)
    st <- coef(lm(z$yield ~ B + t - 1))
    r <- suppressWarnings(try(nls(yield ~ f(a, b, j), z, start = list(a = unname(st[1:ncol(B)]), b = st[["t"]], j = s), algorithm = "port",
      lower = c(rep(-Inf, ncol(B) + 1), lo), upper = c(rep(Inf, ncol(B) + 1), hi), control = nls.control(warnOnly = TRUE, maxiter = 200)), silent = TRUE))
    if (!inherits(r, "try-error") && (is.null(best) || deviance(r) < deviance(best))) best <- r
  }
  best
}
t0 <- tic(); lp <- lapply(gp, plateau, FALSE); t_lp <- tic() - t0
t0 <- tic(); qp <- lapply(gp, plateau, TRUE); t_qp <- tic() - t0
rss <- function(l) paste(vapply(l, function(m) if (is.null(m)) "null" else sprintf("%.12g", deviance(m)), ""), collapse = ",")
cat(sprintf('{"version":"%s","seconds":[%f,%f,%f],"groups":["%s"],"quadratic":[%s],"linear-plateau":[%s],"quadratic-plateau":[%s]}',
  R.version.string, t_quad, t_lp, t_qp, paste(names(gp), collapse = '","'), rss(q), rss(lp), rss(qp)))
