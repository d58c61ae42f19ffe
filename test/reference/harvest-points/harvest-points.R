# Correlation along stretches of passes, the error of a stretch's mean and the number of independent cells that it is worth.
# Run here: Rscript harvest-points.R   (R 4.2.2, nlme 3.1-162; nlme comes with R)
library(nlme)
cells <- read.csv("oats-cells.csv")
cells$strip <- factor(cells$strip)

starts <- list(c(20, 0.2), c(50, 0.2), c(100, 0.2), c(20, 0.5), c(50, 0.5), c(100, 0.5))
fits <- lapply(starts, function(start) tryCatch(
  gls(yield_bu_ac ~ strip - 1, cells, method = "REML",
      correlation = corExp(start, form = ~ place | strip, nugget = TRUE)),
  error = function(e) NULL))
best <- fits[[which.max(sapply(fits, function(fit) if (is.null(fit)) -Inf else logLik(fit)))]]
found <- coef(best$modelStruct$corStruct, unconstrained = FALSE)
variance <- best$sigma^2
cat("range", found[["range"]], "nugget", found[["nugget"]], "variance", variance, "logLik", logLik(best), "\n")

for (stretch in split(cells, cells$strip)) {
  apart <- abs(outer(stretch$place, stretch$place, "-"))
  correlation <- (1 - found[["nugget"]]) * exp(-apart / found[["range"]])
  diag(correlation) <- 1
  error <- sqrt(variance * sum(correlation)) / nrow(stretch)
  cat("stretch", as.character(stretch$strip[1]), "cells", nrow(stretch), "mean", mean(stretch$yield_bu_ac),
      "error", error, "worth", variance / error^2, "\n")
}

# Whether yield drifts along each stretch: slope per metre and its error, the correlation held as found.
drift <- gls(yield_bu_ac ~ strip / place - 1, cells, method = "REML",
             correlation = corExp(found, form = ~ place | strip, nugget = TRUE, fixed = TRUE))
print(summary(drift)$tTable, digits = 8)
cat("drift logLik", logLik(drift), "\n")

# Differences of neighbouring stretches, place by place: what both share of the field's ups and downs is gone from them.
pairs <- do.call(rbind, lapply(1:3, function(first) {
  a <- cells[cells$strip == first, ]; b <- cells[cells$strip == first + 1, ]
  both <- merge(a, b, by = "place")
  data.frame(pair = factor(first), place = both$place, difference = both$yield_bu_ac.y - both$yield_bu_ac.x)
}))
fits <- lapply(starts, function(start) tryCatch(
  gls(difference ~ pair - 1, pairs, method = "REML",
      correlation = corExp(start, form = ~ place | pair, nugget = TRUE)),
  error = function(e) NULL))
best <- fits[[which.max(sapply(fits, function(fit) if (is.null(fit)) -Inf else logLik(fit)))]]
found <- coef(best$modelStruct$corStruct, unconstrained = FALSE)
cat("differences: range", found[["range"]], "nugget", found[["nugget"]], "variance", best$sigma^2, "logLik", logLik(best), "\n")
for (pair in split(pairs, pairs$pair)) {
  apart <- abs(outer(pair$place, pair$place, "-"))
  correlation <- (1 - found[["nugget"]]) * exp(-apart / found[["range"]])
  diag(correlation) <- 1
  cat("pair", as.character(pair$pair[1]), "cells", nrow(pair), "mean", mean(pair$difference),
      "error", best$sigma * sqrt(sum(correlation)) / nrow(pair), "\n")
}
