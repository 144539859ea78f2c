# How long does the backswing take, how much do players differ, and does a shorter shot change it?
# A linear mixed model with the player as a random effect (Bates et al. 2015, J Stat Softw 67:1).
#
#   Rscript backswing_time.R TABLES        the folder that `swathe tables` wrote; needs lme4
suppressPackageStartupMessages(library(lme4))

swings <- read.csv(file.path(commandArgs(trailingOnly = TRUE)[1], "measures_long.csv"))
swings <- subset(swings, measure == "backswing_time" & state == "usable")
swings$shot <- relevel(factor(swings$shot), "full")

model <- lmer(value ~ shot + (1 | player), data = swings)
print(summary(model), correlation = FALSE)

variance <- as.data.frame(VarCorr(model))$vcov
cat(sprintf("%d swings of %d players; between players SD %.3f s, within %.3f s\n",
            nrow(swings), length(unique(swings$player)), sqrt(variance[1]), sqrt(variance[2])))
