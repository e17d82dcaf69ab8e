/** A train file that is complete and comments itself; the rig is invented. */
export const trainExample = `# An imaging train, from the corrector to the sensor. All lengths in mm.
name: Example refractor with a 0.8x reducer
corrector:
  name: reducer 0.8x
  requiredMm: 55            # from its reference face to the sensor, as its maker says
  toleranceMm: 0.25         # 0.5 is assumed when you leave this out
  rear: M48x0.75 male
  clearApertureMm: 44
  focalRatio: 5.6           # working focal ratio, reducer included
parts:                      # in order, telescope side first
  - name: spacer 20
    kind: spacer            # spacers may be taken out by the advice
    lengthMm: 20
    front: M48x0.75 female
    rear: M48x0.75 male
  - name: filter drawer
    lengthMm: 17
    front: M48x0.75 female
    rear: M42x0.75 male
    clearApertureMm: 38
    massGram: 250
    filter: {thicknessMm: 2, index: 1.5168}   # the glass that sits in it
camera:
  name: camera
  sensorDepthMm: 17.5       # from its front face to the sensor
  front: T thread female
  sensorWidthMm: 23.5
  sensorHeightMm: 15.7
  massGram: 450
box:                        # what lies in the drawer
  - {name: spacer 5,  lengthMm: 5,  front: M48x0.75 female, rear: M48x0.75 male}
  - {name: spacer 10, lengthMm: 10, front: M48x0.75 female, rear: M48x0.75 male}
  - {name: spacer 16, lengthMm: 16, front: M48x0.75 female, rear: M48x0.75 male}
  - {name: T spacer 1, lengthMm: 1, front: T thread female, rear: T thread male}
  - {name: shim 0.5, kind: shim, lengthMm: 0.5, count: 2}
  - {name: shim 0.3, kind: shim, lengthMm: 0.3, count: 2}
# threads:                  # joints that the catalogue lacks
#   - {name: M90x1, diameterMm: 90, pitchMm: 1, source: maker's drawing}
`;
