% Hand depth at the lead arm level of the backswing, by group: players first averaged over their
% own swings, so that nobody counts more for having swung more often.
%
%   octave --no-gui depth_by_group.m TABLES        the folder that `swathe tables` wrote
%
% Octave's own reader of HDF5 (load) stops at the first enumeration, so no group of a study can be read
% with it, and this reads measures_long.csv. MATLAB is not tested here.
arguments = argv();
text = fileread(fullfile(arguments{end}, 'measures_long.csv'));
lines = strsplit(strtrim(text), "\n");

function cells = cells_of(line)
  % a cell is quoted, with quotes inside doubled, or holds no comma
  found = regexp(line, '("(?:[^"]|"")*"|[^,"]*)(?:,|$)', 'tokens');
  cells = cellfun(@(t) strrep(regexprep(t{1}, '^"|"$', ''), '""', '"'), found, ...
                  'UniformOutput', false);
end

header = cells_of(lines{1});
column = @(name) find(strcmp(header, name), 1);
player = {}; group = {}; depth = [];
for i = 2:numel(lines)
  if isempty(strfind(lines{i}, 'hand_depth_at_lead_arm_level_backswing'))
    continue
  end
  row = cells_of(lines{i});
  if ~strcmp(row{column('shot')}, 'full') || strcmp(row{column('state')}, 'absent')
    continue
  end
  player{end + 1} = row{column('player')};
  group{end + 1} = row{column('group')};
  depth(end + 1) = str2double(row{column('value')});
end

names = unique(group);
for i = 1:numel(names)
  here = strcmp(group, names{i});
  players = unique(player(here));
  means = cellfun(@(p) mean(depth(here & strcmp(player, p))), players);
  shown = names{i};
  if isempty(shown)
    shown = '-';
  end
  printf('%s: %d players, %.1f mm, SD %.1f mm\n', shown, numel(means), mean(means), std(means));
end
