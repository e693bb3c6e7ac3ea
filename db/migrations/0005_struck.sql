-- Shoring that was struck says so on itself, from its own entry on: whether a shore stands is asked by hold points.

INSERT INTO field (entity_id, name, position, typed, number, to_id, rev, seq)
SELECT e.id, 'struck', 0, 'yes', NULL, NULL, 1, o.seq
FROM entity AS e
JOIN op AS o ON o.seq = (
  SELECT max(last.seq) FROM op AS last
  WHERE last.entity_id = e.id AND last.outcome = 'applied' AND last.kind LIKE 'change.%'
)
WHERE e.kind = 'shore' AND o.kind = 'change.struck';
