# Externally studentized residuals, leverages and leave-one-out optima of two published trials, base R only.
# Rscript influence.R > case.json     (reads ../rate-response/case.json)
suppressPackageStartupMessages(library(jsonlite))
sets <- fromJSON("../rate-response/case.json", simplifyVector = FALSE)$sets
pick <- function(set, group, ratio) {
  s <- Filter(function(z) z$name == set, sets)[[1]]
  g <- Filter(function(z) z$name == group, s$groups)[[1]]
  d <- do.call(rbind, lapply(g$strips, function(z) data.frame(block = z[[1]], rate = z[[2]], yield = z[[3]])))
  m <- lm(yield ~ block + rate + I(rate^2), d)
  best <- function(m) { b <- coef(m)[["rate"]]; c <- coef(m)[["I(rate^2)"]]; x <- (ratio - b) / (2 * c)
    if (c < 0) min(max(x, min(d$rate)), max(d$rate)) else if ((b - ratio) * diff(range(d$rate)) + c * diff(range(d$rate)^2) > 0) max(d$rate) else min(d$rate) }
  list(set = set, group = group, ratio = ratio, studentized = unname(rstudent(m)), leverage = unname(hatvalues(m)),
    optimum = best(m), optimumWithout = sapply(seq_len(nrow(d)), function(i) best(update(m, data = d[-i, ]))))
}
cat(toJSON(list(
  name = "Externally studentized residuals, leverages and leave-one-out economic optima, one a strip in the order of the data",
  howObtained = paste(R.version.string, "rstudent, hatvalues, and lm refitted without each strip: influence.R"),
  licence = "as ../rate-response/case.json", tolerance = "relative 1e-8; an optimum 1e-7",
  cases = list(pick("gomez_seedrate", "all", 0), pick("hernandez_nitrogen", "S5", 0.6615 / 118.1), pick("yates_oats", "Victory", 20))),
  digits = NA, auto_unbox = TRUE))
