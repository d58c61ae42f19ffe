# A straight trend of yield across a field, apart from blocks and treatments.
# Run here: Rscript field-trend.R   (R 4.2.2)
# The yields are those of a real harvest; ten cells in a row are a block, and the five "rates" are labels that were laid over
# the cells in turn, so that a treatment has no effect and the trend is the field's own.
cells <- read.csv("oats-cells.csv")
cells$strip <- factor(cells$strip)
cells$position <- ave(cells$place, cells$strip, FUN = rank)
cells$block <- factor(ceiling(cells$position / 10))
cells$rate <- factor((3 * cells$position + as.integer(cells$strip)) %% 5)
cells$share <- cells$yield_bu_ac / ave(cells$yield_bu_ac, cells$strip) - 1

slope <- function(model) print(coef(summary(model))["position", ], digits = 10)
slope(lm(share ~ strip:block + strip:rate + position, cells))
slope(lm(share ~ block + rate + position, cells[cells$strip == 1, ]))
slope(lm(share ~ strip + strip:rate + position, cells))
