# Plateau forms with joins common to all field-seasons, by maximum likelihood with lme4: other parameters at their best for
# each join. Rscript joins.R > case.json     (reads ../mixed-models)
suppressPackageStartupMessages({library(jsonlite); library(lme4)})
rows <- function(file) {
  set <- fromJSON(file.path("../mixed-models", file), simplifyVector = FALSE)
  d <- do.call(rbind, lapply(set$rows, function(row) as.data.frame(setNames(row, unlist(set$columns)))))
  d$u <- (d$rate - mean(d$rate)) / (diff(range(d$rate)) / 2)
  d
}
control <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10), check.conv.singular = "ignore")
deviance_at <- function(d, joins, degree, model) {
  variety <- if (is.null(d$variety)) 1 else as.integer(factor(d$variety))
  d$short <- -(pmax(joins[variety] - d$rate, 0) / diff(range(d$rate)))^degree
  -2 * as.numeric(logLik(lmer(model, d, REML = FALSE, control = control)))
}
# One join between each two neighbouring rates, the best of them.
one_join <- function(d, degree, model) {
  rates <- sort(unique(d$rate))
  found <- lapply(seq_along(rates)[-1], function(k)
    optimize(function(join) deviance_at(d, join, degree, model), rates[c(k - 1, k)], tol = 1e-7))
  best <- found[[which.min(vapply(found, function(one) one$objective, 0))]]
  list(joins = list(best$minimum), minusTwoLogLikelihood = best$objective)
}
# Three joins at once, from every combination of the middles between rates.
three_joins <- function(d, degree, model) {
  rates <- sort(unique(d$rate))
  f <- function(joins) if (any(joins <= rates[1] | joins > max(rates))) 1e6 else deviance_at(d, joins, degree, model)
  middles <- (head(rates, -1) + rates[-1])[-1] / 2
  found <- apply(expand.grid(middles, middles, middles), 1, function(start) {
    first <- optim(start, f, control = list(reltol = 1e-12, maxit = 2000))
    optim(first$par, f, control = list(reltol = 1e-13, maxit = 2000))
  })
  best <- found[[which.min(vapply(found, function(one) one$value, 0))]]
  list(joins = as.list(unname(best$par)), minusTwoLogLikelihood = best$value)
}
nitrogen <- rows("engelstad-nitro.json"); nitrogen$env <- paste(nitrogen$site, nitrogen$year)
oats <- rows("yates-oats.json")
seasons <- yield ~ short + (1 | env) + (0 + u | env)
plots <- yield ~ variety * short + (1 | block) + (1 | block:variety)
cat(toJSON(list(
  name = "Joins of plateau forms common to all field-seasons, by maximum likelihood",
  howObtained = sprintf("%s, lme4 %s: joins.R", R.version.string, packageVersion("lme4")),
  licence = "as ../mixed-models", tolerance = "-2 log likelihood 1e-5; joins 1e-3 of the tested range",
  cases = list(
    c(list(set = "engelstad-nitro", form = "linear-plateau"), one_join(nitrogen, 1, seasons)),
    c(list(set = "engelstad-nitro", form = "quadratic-plateau"), one_join(nitrogen, 2, seasons)),
    c(list(set = "yates-oats", form = "linear-plateau"), three_joins(oats, 1, plots)),
    c(list(set = "yates-oats", form = "quadratic-plateau"), three_joins(oats, 2, plots))
  )), digits = NA, auto_unbox = TRUE, pretty = TRUE))
