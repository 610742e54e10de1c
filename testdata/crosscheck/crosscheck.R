# Numerical reference for the live cross-check in stats/crosscheck_test.go.
#
#   Rscript crosscheck.R IN.csv OUT.csv
#
# IN has one row a value: log (a number), x1, x2, y, p. OUT has one row a
# result: log, what, index (0-based), value with 17 digits.
# Needs R (base and stats) and robustbase.
suppressPackageStartupMessages(library(robustbase))

arguments <- commandArgs(trailingOnly = TRUE)
logs <- read.csv(arguments[1])
rows <- list()
give <- function(log, what, values) {
  rows[[length(rows) + 1]] <<- data.frame(
    log = log, what = what, index = seq_along(values) - 1,
    value = sprintf("%.17g", as.numeric(values)))
}

for (k in unique(logs$log)) {
  d <- logs[logs$log == k, ]
  fit <- lm(d$y ~ d$x1 + d$x2)
  give(k, "coefficients", coef(fit))
  give(k, "standard errors", sqrt(diag(vcov(fit))))
  give(k, "leverage", hatvalues(fit))
  give(k, "deleted residuals", rstudent(fit))
  give(k, "cook", cooks.distance(fit))
  give(k, "residual SD", summary(fit)$sigma)

  give(k, "q", p.adjust(d$p, "BH"))

  signs <- sign(outer(d$x1, d$x1, "-")) * sign(outer(d$y, d$y, "-"))
  give(k, "kendall S", sum(signs[lower.tri(signs)]))
  give(k, "kendall tau", cor(d$x1, d$y, method = "kendall"))
  give(k, "shapiro", unlist(shapiro.test(d$y)[c("statistic", "p.value")]))

  # Subsamples and steps beyond the defaults, so that both ends stand at the
  # same minimum and at convergence.
  set.seed(k)
  robust <- lmrob(d$y ~ d$x1 + d$x2, control = lmrob.control(
    nResample = 5000, k.max = 5000, max.it = 5000, best.r.s = 20,
    refine.tol = 1e-12, rel.tol = 1e-12, solve.tol = 1e-12))
  give(k, "robust coefficients", coef(robust))
  give(k, "robust scale", robust$scale)
}

cat("R", as.character(getRversion()), "robustbase", as.character(packageVersion("robustbase")), "\n")
write.csv(do.call(rbind, rows), arguments[2], row.names = FALSE, quote = FALSE)
