# Hand depth at the lead arm level of the backswing, by group: players first averaged over their
# own swings, so that nobody counts more for having swung more often.
#
#   Rscript depth_by_group.R study.h5          needs rhdf5 (Debian: r-bioc-rhdf5)
suppressPackageStartupMessages(library(rhdf5))

study <- commandArgs(trailingOnly = TRUE)[1]
measure <- "measures/hand_depth_at_lead_arm_level_backswing"
swings <- data.frame(
  player = as.vector(h5read(study, "swings/player")),
  group = as.vector(h5read(study, "swings/group")),
  shot = as.vector(h5read(study, "swings/shot")),
  depth = as.vector(h5read(study, paste0(measure, "/value"))) * 1000, # the file is in metres
  state = as.character(h5read(study, paste0(measure, "/state")))
)
swings <- swings[swings$shot == "full" & swings$state != "absent", ]

for (name in sort(unique(swings$group))) {
  means <- with(swings[swings$group == name, ], tapply(depth, player, mean))
  cat(sprintf("%s: %d players, %.1f mm, SD %.1f mm\n",
              ifelse(name == "", "-", name), length(means), mean(means), sd(means)))
}
