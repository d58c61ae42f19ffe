# One mixed model of strips from standard input (CSV: env, variety, block, rate, yield): the quadratic with own responses
# of the varieties and the same random terms as the pooled analysis. Writes seconds and -2 log likelihood as JSON.
suppressMessages(library(lme4))
d <- read.csv(file("stdin"), stringsAsFactors = TRUE)
d$block <- factor(d$block)
d$u <- (d$rate - mean(d$rate)) / (diff(range(d$rate)) / 2)
model <- yield ~ variety * (u + I(u^2)) + (1 | env) + (1 | env:block) + (1 | env:variety) + (1 | env:block:variety) +
  (0 + u | env) + (0 + u | env:variety)
seconds <- system.time(lmer(model, d, REML = TRUE))[["elapsed"]]
likelihood <- suppressMessages(lmer(model, d, REML = FALSE))
cat(sprintf(
  '{"version":"%s, lme4 %s","seconds":%f,"minusTwoLogLikelihood":%.10f}',
  R.version.string, packageVersion("lme4"), seconds, -2 * as.numeric(logLik(likelihood))
))
