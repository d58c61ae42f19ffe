# Power of two-sided t tests, of F tests and least significant differences, by R's own functions (package stats).
# Run here: Rscript power.R > power.json
num <- function(x) trimws(formatC(x, digits = 15, format = "g"))
rows <- function(name, values) paste0('"', name, '": [\n    ', paste(values, collapse = ",\n    "), "\n  ]")

t_cases <- expand.grid(n = c(2, 3, 4, 6, 10, 20), delta = c(0.25, 0.5, 1, 2, 4), level = c(0.05, 0.1))
two_sample <- apply(t_cases, 1, function(k) {
  p <- power.t.test(n = k[["n"]], delta = k[["delta"]], sd = 1, sig.level = k[["level"]], strict = TRUE)$power
  sprintf('{"n": %d, "delta": %s, "level": %s, "power": %s}', k[["n"]], num(k[["delta"]]), num(k[["level"]]), num(p))
})

f_cases <- expand.grid(groups = c(3, 5, 8), n = c(2, 4, 6, 12), between = c(0.1, 0.5, 2), level = c(0.05, 0.1))
anova <- apply(f_cases, 1, function(k) {
  p <- power.anova.test(groups = k[["groups"]], n = k[["n"]], between.var = k[["between"]], within.var = 1,
                        sig.level = k[["level"]])$power
  sprintf('{"groups": %d, "n": %d, "between": %s, "level": %s, "power": %s}',
          k[["groups"]], k[["n"]], num(k[["between"]]), num(k[["level"]]), num(p))
})

tail_cases <- expand.grid(f = c(0.01, 1, 4, 20), df1 = c(1, 4), df2 = c(3, 12, 200), ncp = c(0, 0.5, 8, 60, 900))
tails <- apply(tail_cases, 1, function(k) {
  p <- pf(k[["f"]], k[["df1"]], k[["df2"]], k[["ncp"]], lower.tail = FALSE)
  sprintf('{"f": %s, "df1": %d, "df2": %d, "ncp": %s, "upper": %s}',
          num(k[["f"]]), k[["df1"]], k[["df2"]], num(k[["ncp"]]), num(p))
})

# Least significant difference of the rice seeding-rate trial, Gomez & Gomez 1984, p. 26: 6 rates, 4 blocks.
mse <- 1658376 / 15
lsd <- sapply(c(0.05, 0.01), function(a)
  sprintf('{"level": %s, "meanSquare": %s, "blocks": 4, "df": 15, "lsd": %s}', num(a), num(mse), num(qt(1 - a / 2, 15) * sqrt(2 * mse / 4))))

cat("{\n  ", paste(c(
  sprintf('"made_by": "%s, power.t.test (strict), power.anova.test, pf, qt"', R.version.string),
  rows("twoSample", two_sample), rows("anova", anova), rows("tails", tails), rows("lsd", lsd)
), collapse = ",\n  "), "\n}\n", sep = "")
