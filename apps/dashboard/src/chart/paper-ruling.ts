import uPlot from 'uplot'
import { frequencyRules, frequencyTicks } from './frequency-axis.ts'
import { inkColour } from './inks.ts'

/** Draws the upright lines of logarithmic graph paper behind everything, the marked ones stronger. */
export const paperRuling = (): uPlot.Plugin => ({
  hooks: {
    drawClear: (plot) => {
      const { min, max } = plot.scales.x ?? {}
      if (min == null || max == null) return
      const { ctx, bbox } = plot
      const rule = (frequencies: number[], colour: string, width: number) => {
        ctx.strokeStyle = colour
        // The canvas still has the dashes of the line drawn last.
        ctx.setLineDash([])
        ctx.lineWidth = width * uPlot.pxRatio
        ctx.beginPath()
        for (const frequencyHz of frequencies) {
          const x = Math.round(plot.valToPos(frequencyHz, 'x', true)) + 0.5
          ctx.moveTo(x, bbox.top)
          ctx.lineTo(x, bbox.top + bbox.height)
        }
        ctx.stroke()
      }
      ctx.save()
      rule(frequencyRules(min, max), inkColour('rule'), 0.75)
      rule(frequencyTicks(min, max), inkColour('rule-strong'), 1)
      ctx.restore()
    },
  },
})
