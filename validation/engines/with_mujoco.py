"""The same trees in MuJoCo: several hinges on a body act in order, which is what a segment's turns do."""

import mujoco
import numpy as np

VERSION = mujoco.__version__


def numbers(values):
    return " ".join(repr(float(x)) for x in values)


def description(head, tree):
    """The tree as an MJCF document; nothing touches, nothing is damped."""
    segments, joints = tree["segments"], head["joints"]

    def body(s):
        segment = segments[s]
        i = np.array(segment["inertia"])
        lines = [f'<body name="s{s}" pos="{numbers(segment["offset"])}">']
        for k, joint in enumerate(joints):
            if joint["segment"] == s:
                kind = "slide" if joint["slides"] else "hinge"
                lines.append(f'<joint name="c{k}" type="{kind}" axis="{numbers(joint["axis"])}"/>')
        full = numbers([i[0, 0], i[1, 1], i[2, 2], i[0, 1], i[0, 2], i[1, 2]])
        mass = repr(float(segment["mass"]))
        lines.append(f'<inertial pos="{numbers(segment["centre"])}" mass="{mass}" fullinertia="{full}"/>')
        lines += [body(child) for child, other in enumerate(segments) if other["parent"] == s]
        return "\n".join(lines + ["</body>"])

    return f"""<mujoco>
<compiler autolimits="false" angle="radian"/>
<option gravity="{numbers(head["gravity"])}"><flag energy="enable" contact="disable" constraint="disable"/></option>
<worldbody>
{body(0)}
</worldbody>
</mujoco>"""


class Engine:
    def __init__(self, head, tree):
        self.model = mujoco.MjModel.from_xml_string(description(head, tree))
        self.data = mujoco.MjData(self.model)
        n = len(head["joints"])
        self.order = [int(self.model.joint(f"c{i}").dofadr[0]) for i in range(n)]
        self.body = [self.model.body(f"s{s}").id for s in range(len(tree["segments"]))]

    def results(self, state):
        model, data = self.model, self.data
        data.qpos[self.order] = state["q"]
        data.qvel[self.order] = state["v"]
        data.qacc[self.order] = state["a"]
        mujoco.mj_inverse(model, data)
        mujoco.mj_energyPos(model, data)
        mujoco.mj_energyVel(model, data)
        mujoco.mj_subtreeVel(model, data)
        n = model.nv
        torques = data.qfrc_inverse.copy()
        wrench = state["wrench"]
        pushed = np.zeros(n)
        force, couple, point = (np.array(wrench[k]) for k in ("force", "couple", "point"))
        mujoco.mj_applyFT(model, data, force, couple, point, self.body[wrench["segment"]], pushed)
        matrix = np.zeros((n, n))
        mujoco.mj_fullM(model, data, matrix)
        whole, reach, turn = (np.zeros((3, n)) for _ in range(3))
        mujoco.mj_jacSubtreeCom(model, data, whole, self.body[0])
        mujoco.mj_jac(model, data, reach, turn, data.xpos[self.body[11]], self.body[11])
        return {
            "centres": data.xipos[self.body].copy(),
            "centre_of_mass": data.subtree_com[self.body[0]].copy(),
            "centre_of_mass_velocity": data.subtree_linvel[self.body[0]].copy(),
            "energies": [data.energy[1], data.energy[0]],
            "torques": torques[self.order],
            "torques_when_pushed": (torques - pushed)[self.order],
            "mass_matrix": matrix[np.ix_(self.order, self.order)],
            "centre_of_mass_jacobian": whole[:, self.order].T,
            "elbow_jacobian": reach[:, self.order].T,
            "forearm_turning": turn[:, self.order].T,
        }
